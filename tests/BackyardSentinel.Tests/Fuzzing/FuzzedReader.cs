using System.IO.Compression;
using System.Text.Json;
using SharpFuzz;

namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>
/// A reader to which anything may come from outside, for a fuzzing tool that follows the code's branches (tests/bench/follow.cs). An
/// input is two bytes of choice, and behind them the bytes that come.
/// </summary>
internal abstract class FuzzedReader
{
    /// <summary>Bytes before those that come.</summary>
    public const int HeadLength = 2;

    /// <summary>All of them, by name.</summary>
    public static IReadOnlyDictionary<string, Func<FuzzedReader>> All { get; } = new Dictionary<string, Func<FuzzedReader>>
    {
        ["sensors"] = () => new FuzzedSensors(),
        ["logs"] = () => new FuzzedLogs(),
        ["forecasts"] = () => new FuzzedForecasts(),
        ["garden"] = () => new FuzzedGarden(),
        ["entries"] = () => new FuzzedEntries(),
    };

    /// <summary>Inputs to begin with.</summary>
    public abstract IEnumerable<byte[]> Seeds { get; }

    /// <summary>What such inputs are made of.</summary>
    public virtual IEnumerable<byte[]> Words => [];

    /// <summary>Reads; what is not sound throws.</summary>
    /// <param name="which">Chooses how what comes is to be understood.</param>
    /// <param name="how">Chooses how it came.</param>
    /// <param name="bytes">What came.</param>
    protected abstract void Read(byte which, byte how, byte[] bytes);

    /// <summary>Reads an input; one without its two bytes is none.</summary>
    public void Read(ReadOnlySpan<byte> input)
    {
        if (input.Length >= HeadLength)
            Read(input[0], input[1], input[HeadLength..].ToArray());
    }

    /// <summary>An input.</summary>
    protected static byte[] Input(int which, int how, ReadOnlySpan<byte> bytes) => [(byte)which, (byte)how, .. bytes];

    /// <summary>
    /// The inputs that earlier runs have kept, which together with the seeds reach all that these reached, and those that failed before
    /// something was mended. A line is one, as a JSON text of which each character is a byte.
    /// </summary>
    /// <param name="name">Of which reader.</param>
    public static IEnumerable<byte[]> Kept(string name)
    {
        var folder = Checkout.Path("tests", "payloads", "followed");
        foreach (var path in Directory.EnumerateFiles(folder, $"*{name}.jsonl*").Order(StringComparer.Ordinal))
        {
            using Stream file = File.OpenRead(path);
            var isPacked = path.EndsWith(".gz", StringComparison.Ordinal);
            using StreamReader lines = new(isPacked ? new GZipStream(file, CompressionMode.Decompress) : file);
            while (lines.ReadLine() is { } line)
                yield return Encoding.Latin1.GetBytes(JsonSerializer.Deserialize<string>(line)!);
        }
    }

    /// <summary>
    /// Reads what comes on standard input, over and over where the fuzzing tool asks for it; or writes what it begins with.
    /// </summary>
    /// <param name="name">The reader.</param>
    /// <param name="folder">Where to write the inputs to begin with, and the words; empty: to read.</param>
    public static int Run(string name, string[] folder)
    {
        // Code that tells its branches runs only where the tool listens.
        Lazy<FuzzedReader> reader = new(All[name]);
        if (folder is [var into])
        {
            Write(Path.Combine(into, "inputs"), "seed", reader.Value.Seeds.Where(input => input.Length <= 4000));
            Write(Path.Combine(into, "inputs"), "kept", Kept(name));
            Write(Path.Combine(into, "words"), "word", reader.Value.Words.Where(word => word.Length is > 0 and <= 64));
        }
        else
        {
            Fuzzer.OutOfProcess.Run(stream =>
            {
                using var all = new MemoryStream();
                stream.CopyTo(all);
                reader.Value.Read(all.GetBuffer().AsSpan(0, (int)all.Length));
            });
        }

        return 0;
    }

    private static void Write(string folder, string kind, IEnumerable<byte[]> all)
    {
        Directory.CreateDirectory(folder);
        foreach (var (number, bytes) in all.DistinctBy(Convert.ToHexString).Index())
            File.WriteAllBytes(Path.Combine(folder, $"{kind}{number:0000}"), bytes);
    }
}
