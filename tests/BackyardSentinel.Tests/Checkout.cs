namespace BackyardSentinel.Tests;

/// <summary>The checkout the tests were built from.</summary>
internal static class Checkout
{
    public static string Root { get; } = Find();

    public static string Path(params string[] parts) => System.IO.Path.Combine([Root, .. parts]);

    private static string Find()
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(at.FullName, "BackyardSentinel.sln")))
                return at.FullName;
        }

        throw new InvalidOperationException("The tests must run inside the checkout: BackyardSentinel.sln was not found.");
    }
}
