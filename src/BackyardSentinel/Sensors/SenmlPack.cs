using System.Text;
using System.Text.Json;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Sensors;

/// <summary>One record of a SenML pack, resolved.</summary>
/// <param name="Name">Base name and name.</param>
/// <param name="Unit">Its unit, or the base unit; empty where neither is told.</param>
/// <param name="Value">Its number with the base value; <c>null</c>: it has none.</param>
/// <param name="Sum">Its running sum with the base sum; <c>null</c>: it has none.</param>
/// <param name="Word">Its text, or its switch as <c>true</c> or <c>false</c>; <c>null</c>: it has neither.</param>
/// <param name="Time">Its moment, UTC; <c>null</c>: out of range.</param>
/// <param name="IsRelative">Its time was told as so many seconds from now, or not at all.</param>
public readonly record struct SenmlRecord(
    string Name, string Unit, double? Value, double? Sum, string? Word, DateTimeOffset? Time, bool IsRelative);

/// <summary>Resolves a SenML pack in JSON (RFC 8428).</summary>
public static class SenmlPack
{
    /// <summary>Times below 2^28 s count from now, others from 1970 (RFC 8428, 4.5.3).</summary>
    private const double RelativeBelow = 1 << 28;

    /// <summary>The version of the format that is read (RFC 8428, 4.4).</summary>
    private const double Version = 10;

    /// <summary>Resolves the records, or says why the pack cannot be read.</summary>
    /// <param name="pack">The JSON.</param>
    /// <param name="now">What relative times count from.</param>
    /// <param name="most">So many records are read at most.</param>
    public static (List<SenmlRecord> Records, Sentence? Fault) Read(JsonElement pack, DateTimeOffset now, int most)
    {
        if (pack.ValueKind != JsonValueKind.Array)
            return ([], $"a SenML pack is a list of records, and this is none");
        if (pack.GetArrayLength() > most)
            return ([], $"the pack has {pack.GetArrayLength()} records; up to {most} are read");
        List<SenmlRecord> records = new(pack.GetArrayLength());
        string baseName = "", baseUnit = "";
        double baseTime = 0, baseValue = 0, baseSum = 0;
        foreach (var record in pack.EnumerateArray())
        {
            if (record.ValueKind != JsonValueKind.Object)
                return ([], $"a SenML record is an object, and one of the pack is none");
            if (Fault(record) is { } fault)
                return ([], fault);

            // A base holds for its record and all later ones until another replaces it (4.6).
            baseName = TextOf(record, "bn") ?? baseName;
            baseUnit = TextOf(record, "bu") ?? baseUnit;
            baseTime = NumberOf(record, "bt") ?? baseTime;
            baseValue = NumberOf(record, "bv") ?? baseValue;
            baseSum = NumberOf(record, "bs") ?? baseSum;
            var seconds = baseTime + (NumberOf(record, "t") ?? 0);
            records.Add(
                new SenmlRecord(
                    baseName + TextOf(record, "n"),
                    TextOf(record, "u") ?? baseUnit,
                    baseValue + NumberOf(record, "v"),
                    baseSum + NumberOf(record, "s"),
                    TextOf(record, "vs") ?? SwitchOf(record),
                    Moment(seconds, now),
                    seconds < RelativeBelow));
        }

        return (records, null);
    }

    /// <summary>What forbids to read the pack at all.</summary>
    private static Sentence? Fault(JsonElement record)
    {
        foreach (var label in record.EnumerateObject())
        {
            if (label.Name.EndsWith('_'))
                return $"the SenML label {NumberReader.Quoted(Encoding.UTF8.GetBytes(label.Name))} must be understood, "
                    + $"and it is not known here (RFC 8428, 4.4)";
            if (label.NameEquals("bver") && (label.Value.ValueKind != JsonValueKind.Number || label.Value.GetDouble() > Version))
                return $"the SenML version {new Name(label.Value.GetRawText())} is newer than {Version}, which is read here";
        }

        return null;
    }

    private static DateTimeOffset? Moment(double seconds, DateTimeOffset now)
    {
        var milliseconds = (seconds < RelativeBelow ? now.ToUnixTimeMilliseconds() : 0) + (seconds * 1000);
        return milliseconds is > -6e13 and < 2e14 ? DateTimeOffset.FromUnixTimeMilliseconds((long)Math.Round(milliseconds)) : null;
    }

    private static string? TextOf(JsonElement record, string label) =>
        record.TryGetProperty(label, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    private static string? SwitchOf(JsonElement record) =>
        record.TryGetProperty("vb", out var value)
            ? value.ValueKind switch { JsonValueKind.True => "true", JsonValueKind.False => "false", _ => null }
            : null;

    private static double? NumberOf(JsonElement record, string label) =>
        record.TryGetProperty(label, out var value)
        && value.ValueKind == JsonValueKind.Number
        && value.GetDouble() is var number
        && double.IsFinite(number)
            ? number
            : null;
}
