using System.Diagnostics;

namespace BackyardSentinel.Proofs;

/// <summary>
/// The program that is started as a process: the native one that <c>SENTINEL_PROGRAM</c> names, which is the product; where none is
/// named, the one that was built with the tests.
/// </summary>
internal static class BuiltProgram
{
    /// <summary>It is the native one.</summary>
    public static bool IsNative => Native is not null;

    private static string? Native => Environment.GetEnvironmentVariable("SENTINEL_PROGRAM") is { Length: > 0 } native ? native : null;

    /// <summary>The words that start it, before its arguments.</summary>
    public static string[] Words => Native is { } native
        ? [native]
        : [
            Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet",
            Path.Combine(AppContext.BaseDirectory, "backyard-sentinel.dll"),
        ];

    /// <summary>The same for a shell.</summary>
    public static string Quoted => string.Join(' ', Words.Select(word => $"'{word}'"));

    /// <summary>How to start it; what it says is read.</summary>
    public static ProcessStartInfo With(IEnumerable<string> arguments) =>
        new(Words[0], [.. Words[1..], .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true };
}
