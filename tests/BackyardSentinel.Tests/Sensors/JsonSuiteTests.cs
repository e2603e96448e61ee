using System.IO.Compression;
using BackyardSentinel.Sensors;

namespace BackyardSentinel.Tests.Sensors;

/// <summary>The JSON Parsing Test Suite of Nicolas Seriot (tests/data/README.md) through the reader of messages.</summary>
public sealed class JsonSuiteTests
{
    private static readonly DateTimeOffset Now = new(2027, 3, 1, 6, 0, 0, TimeSpan.Zero);

    /// <summary>What a sensor may do, and the suite may not: it is taken, and that is said.</summary>
    private static readonly string[] Lenient =
    [
        "n_array_minus_inf.json", "n_number_NaN.json", "n_number_infinity.json", "n_number_minus_infinity.json", "n_number_-NaN.json",
        "n_number_Inf.json", "n_multidigit_number_then_00.json",
    ];

    /// <summary>Which of two values of one key counts is not known, whatever the standard leaves open.</summary>
    private static readonly string[] TwiceTheKey =
    [
        "y_object_duplicated_key.json", "y_object_duplicated_key_and_value.json",
    ];

    public static List<(string Name, byte[] Bytes)> Files { get; } = Load();

    [Fact]
    public void All_files_are_there()
    {
        Assert.Equal(318, Files.Count);
        Assert.Equal(188, Files.Count(file => file.Name.StartsWith("n_", StringComparison.Ordinal)));
    }

    [Fact]
    public void What_must_be_refused_is_refused_or_taken_with_a_word_on_it()
    {
        foreach (var (name, bytes) in Files.Where(file => file.Name.StartsWith("n_", StringComparison.Ordinal)))
        {
            var result = Read(bytes);
            var isRefused = result.QuarantineReason is not null || bytes.Length == 0;
            var isSaid = Lenient.Contains(name) && result.Remarks.Exists(remark => remark.Kind == RemarkKind.Note);
            Assert.True(isRefused || isSaid, $"{name}: {string.Join("; ", result.Remarks)}");
            Assert.Empty(result.Readings);
        }
    }

    [Fact]
    public void What_must_be_taken_is_parsed()
    {
        foreach (var (name, bytes) in Files.Where(file => file.Name.StartsWith("y_", StringComparison.Ordinal)))
        {
            if (TwiceTheKey.Contains(name))
                Assert.Contains("twice", Read(bytes).QuarantineReason!.Text, StringComparison.Ordinal);
            else
                Assert.True(Read(bytes).QuarantineReason is null, $"{name}: {Read(bytes).QuarantineReason}");
        }
    }

    [Fact]
    public void Whatever_path_leads_into_them_none_makes_it_throw()
    {
        foreach (var path in (string?[])[null, "[0]", "a", "a.b", "[*]", "[*].a", "a[*]", "[a=1].b", "[\"\"]"])
        {
            foreach (var (name, bytes) in Files)
                Assert.True(Read(bytes, path).Remarks.Count >= 0, name);
        }
    }

    private static PayloadResult Read(byte[] bytes, string? path = "no.such.path") =>
        new PayloadMap(
            [
                new SeriesMap
                {
                    SiteId = "yard",
                    Quantity = Quantity.Temperature,
                    Topic = "a/b",
                    Path = path,
                },
            ])
            .Read("a/b", bytes, Now, false);

    private static List<(string Name, byte[] Bytes)> Load()
    {
        using var zip = ZipFile.OpenRead(Checkout.Path("tests", "data", "json-parsing", "parsing.zip"));
        List<(string Name, byte[] Bytes)> files = [];
        foreach (var entry in zip.Entries)
        {
            using var stream = entry.Open();
            using MemoryStream bytes = new();
            stream.CopyTo(bytes);
            files.Add((entry.Name, bytes.ToArray()));
        }

        return files;
    }
}
