using System.Globalization;
using System.Text;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Proposing;

/// <summary>One entry of <c>series</c>, as it stands in a garden file.</summary>
/// <param name="Keys">Its keys with their values, as YAML writes them.</param>
internal sealed record SeriesBlock(IReadOnlyList<(string Key, string Value)> Keys)
{
    /// <summary>Characters with which a plain value of YAML may not begin, and what may not stand in it.</summary>
    private const string Special = "-?:,[]{}#&*!|>'\"%@` ";

    /// <summary>What a trial of a block gave.</summary>
    /// <param name="Gives">The value of the last message; <c>null</c>: only a first total, or a fault.</param>
    /// <param name="Fault">Why the block cannot be used.</param>
    /// <param name="TimeFault">Why the sensor's time cannot.</param>
    public readonly record struct Trial(double? Gives, Sentence? Fault, Sentence? TimeFault);

    /// <summary>The block of what was heard.</summary>
    public static SeriesBlock Of(HeardSeries heard, SensorGuess guess, string? time, string? zone)
    {
        var seen = heard.Seen;
        List<(string, string?)> keys =
        [
            ("quantity", guess.Quantity.Word()),
            ("topic", Scalar(heard.Topic)),
            ("shape", seen.Shape == MessageShape.Json ? null : seen.Shape.Word()),
            ("path", seen.Path is { } path ? Scalar(path) : null),
            ("time", time is not null && seen.Shape != MessageShape.Senml ? Scalar(time) : null),
            ("zone", time is not null && zone is not null ? Scalar(zone) : null),
            // Words for wet and dry have no unit.
            ("unit", seen.IsWord ? null : Scalar(UnitWord(guess))),
            ("unit_path", seen.UnitPath is { } units ? Scalar(units) : null),
            ("scale", guess.Scale == 1 ? null : guess.Scale.ToString(CultureInfo.InvariantCulture)),
            ("counts", guess is { Quantity: Quantity.Rain, Rain: not RainCount.Each } ? Word(guess.Rain) : null),
            ("decimal_comma", seen.DecimalComma ? "true" : null),
            ("every", guess.Every is { } every ? FormattableString.Invariant($"{every.TotalMinutes:0}m") : null),
            ("wet_on", guess.WetOn?.ToString(CultureInfo.InvariantCulture)),
        ];
        return new SeriesBlock([.. keys.Where(key => key.Item2 is not null).Select(key => (key.Item1, key.Item2!))]);
    }

    /// <summary>The block's lines: an entry of a list.</summary>
    public IEnumerable<string> Lines => Keys.Select((key, i) => $"{(i == 0 ? "- " : "  ")}{key.Key}: {key.Value}");

    /// <summary>Puts the block into a garden, which must take it, and reads with it what was heard.</summary>
    public Trial Try(HeardSeries heard)
    {
        var series = string.Concat(Lines.Select(line => $"      {line}\n"));
        // A site needs a temperature and a humidity; these two are never heard.
        var (garden, problems) = GardenFileReader.ReadText(
            "trial",
            $"broker: {{ topic_root: listen-trial, homie: false }}\nsites:\n  - id: trial\n    series:\n{series}"
                + "      - { quantity: temperature, topic: listen-trial-t }\n      - { quantity: humidity, topic: listen-trial-h }\n");
        if (garden is null)
            return new Trial(null, $"no garden file could name it: "
                + $"{problems.First(problem => !problem.IsNote).Message}", null);
        var map = new PayloadMap(garden.Series);
        Sentence? fault = null, timeFault = null;
        double? gives = null;
        var counted = false;
        List<(ReadOnlyMemory<byte> Payload, DateTimeOffset At)> messages =
            heard.Messages > 1 ? [heard.FirstMessage, heard.LastMessage] : [heard.LastMessage];
        foreach (var (payload, at) in messages)
        {
            var result = map.Read(heard.Topic, payload, at, retained: false);
            counted |= result.Totals.Count > 0;
            foreach (var remark in result.Remarks)
            {
                if (remark.Kind == RemarkKind.Refused)
                    fault = remark.Reason;
                if (remark.Kind == RemarkKind.Note && SensorClock.TimeFault(remark.Reason) is { } wrong)
                    timeFault = wrong;
            }

            if (result.Readings.Count > 0)
                (gives, fault) = (result.Readings[^1].Reading.Value, null);
        }

        var isRate = Keys.Any(key => key is { Key: "counts", Value: "rate" });
        return new Trial(gives, gives is null && !counted && !isRate ? fault ?? $"it did not give a reading" : null, timeFault);
    }

    /// <summary>A text as a value of YAML: bare where that is safe, else in single quotes.</summary>
    internal static string Scalar(string text)
    {
        var isPlain = text.Length > 0
            && !Special.Contains(text[0], StringComparison.Ordinal)
            && !text.Any(c => char.IsControl(c) || "#:,[]{}\"'`|>&*!%@".Contains(c, StringComparison.Ordinal))
            && text[^1] != ' '
            && !double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out _)
            && text.ToLowerInvariant() is not ("true" or "false" or "yes" or "no" or "on" or "off" or "null" or "y" or "n" or "~");
        return isPlain ? text : new StringBuilder("'").Append(text.Replace("'", "''", StringComparison.Ordinal)).Append('\'').ToString();
    }

    /// <summary>As <c>counts</c> spells it.</summary>
    internal static string Word(RainCount rain) => rain switch
    {
        RainCount.Each => "each",
        RainCount.Total => "total",
        RainCount.Rate => "rate",
    };

    /// <summary>The unit as the garden file spells it.</summary>
    internal static string UnitWord(SensorGuess guess) =>
        guess.Unit.Symbol + (guess is { Quantity: Quantity.Rain, Rain: RainCount.Rate } ? "/h" : "");
}
