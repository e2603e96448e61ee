using System.Reflection;

namespace BackyardSentinel.Guards;

/// <summary>By what name the program calls on others over HTTP.</summary>
internal static class UserAgent
{
    /// <summary>The header's name.</summary>
    public const string Header = "User-Agent";

    /// <summary>Name and version (RFC 9110, 10.1.5).</summary>
    public static string Product { get; } =
        $"backyard-sentinel/{Assembly.GetExecutingAssembly().GetName().Version!.ToString(3)}";
}
