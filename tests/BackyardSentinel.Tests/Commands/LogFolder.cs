using System.IO.Compression;
using BackyardSentinel.Commands.Replay;
using BackyardSentinel.Logs;

namespace BackyardSentinel.Tests.Commands;

/// <summary>A folder of invented logs that is gone after the test.</summary>
internal sealed class LogFolder : IDisposable
{
    public const string Header = "time,temperature_c,humidity_pct,rain_mm";

    /// <summary>Rows of an hour.</summary>
    public static readonly LogOptions Hourly = new() { Period = TimeSpan.FromHours(1), Stamp = LogStamp.Start };

    public static readonly Site Site = new() { Id = "log", Step = TimeSpan.FromHours(1), Plantings = [new Planting("planting")] };

    /// <summary>The first hour of every log here.</summary>
    public static readonly DateTimeOffset Start = new(2027, 2, 1, 0, 0, 0, TimeSpan.Zero);

    public string Root { get; } = Directory.CreateTempSubdirectory("backyard-sentinel-").FullName;

    /// <summary>Hourly rows: so many wet hours at 9.5 °C after 4.5 mm of rain, and six dry ones.</summary>
    public static IEnumerable<string> Rows(int wet = 16) => Enumerable.Range(0, wet + 6).Select(hour =>
        string.Create(CultureInfo.InvariantCulture, $"{Stamp(hour)},9.5,{(hour < wet ? 95 : 60)},{(hour == 0 ? 4.5 : 0)}"));

    /// <summary>The same as a whole file.</summary>
    public static string Text(int wet = 16) => Lines([Header, .. Rows(wet)]);

    public static string Lines(params IEnumerable<string> lines) => string.Concat(lines.Select(line => line + "\n"));

    public static string Stamp(int hour) => Start.AddHours(hour).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    public string File(string text, string name = "log.csv") => File(Encoding.UTF8.GetBytes(text), name);

    public string File(byte[] bytes, string name = "log.csv")
    {
        var path = Path.Combine(Root, name);
        System.IO.File.WriteAllBytes(path, bytes);
        return path;
    }

    public ReplayResult Judge(string text, LogOptions? options = null, Site? site = null) =>
        Replay.Run(site ?? Site, [File(text)], options ?? Hourly);

    /// <summary>The sentence with which a file is refused, its folder taken off.</summary>
    public string Refusal(string path) =>
        Xunit
            .Assert.Throws<LogProblemException>(() => Replay.Run(Site, [path], Hourly))
            .Message.Replace(Root + Path.DirectorySeparatorChar, "", StringComparison.Ordinal);

    public static byte[] Gzip(string text)
    {
        using var packed = new MemoryStream();
        using (var gzip = new GZipStream(packed, CompressionLevel.Optimal))
            gzip.Write(Encoding.UTF8.GetBytes(text));
        return packed.ToArray();
    }

    public void Dispose() => Directory.Delete(Root, recursive: true);
}
