using System.Globalization;
using System.Text.RegularExpressions;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Delivery;

/// <summary>The words of the page and the report, from the same file as those of alerts, read by one zone's clock.</summary>
public sealed class PageWords
{
    private const char NoBreak = '\u00a0';

    private readonly WordsFile _file;

    internal PageWords(WordsFile file, UnitSystem units, TimeZoneInfo zone) => (_file, Units, Zone) = (file, units, zone);

    /// <summary>The units in which figures are told.</summary>
    public UnitSystem Units { get; }

    /// <summary>By whose clock it is read.</summary>
    public TimeZoneInfo Zone { get; }

    /// <summary>The language, as HTML names it.</summary>
    public string Language => Say("language");

    /// <summary>The same words by another clock.</summary>
    /// <param name="zone">Whose clock.</param>
    public PageWords By(TimeZoneInfo zone) => new(_file, Units, zone);

    /// <summary>A sentence or word of the part <c>page</c>, with what stands in its braces filled in.</summary>
    /// <param name="key">Its name.</param>
    /// <param name="values">What is filled in, by name.</param>
    /// <exception cref="WordsProblemException">The file has no such word.</exception>
    public string Say(string key, params ReadOnlySpan<(string Name, string Value)> values)
    {
        var text = _file.Word(WordsFile.PagePrefix + key);
        if (values.Length == 0)
            return text;
        // In one go: what a grower calls a tree may look like a hole too.
        var named = values.ToArray();
        return WordsFile.Braces().Replace(
            text, hole => Array.Find(named, one => hole.ValueSpan[1..^1].SequenceEqual(one.Name)).Value ?? hole.Value);
    }

    /// <summary>What the program says, in this language.</summary>
    /// <param name="sentence">The sentence.</param>
    public string Say(Sentence sentence) => string.Concat(Pieces(sentence).Select(piece => piece.Text));

    /// <summary>The same in pieces, with the language of those that are to be had in another one only.</summary>
    /// <param name="sentence">The sentence.</param>
    public IReadOnlyList<(string Text, string? Language)> Pieces(Sentence sentence)
    {
        var (pattern, language) = sentence.HasWords ? _file.Sentence(sentence.Pattern) : (sentence.Pattern, null);
        if (pattern is null)
            return [(sentence.Text, WordsFile.English)];
        var fillings = sentence.Fillings.ToList();
        List<(string Text, string? Language)> pieces = [];
        var from = 0;
        foreach (Match hole in WordsFile.Braces().Matches(pattern))
        {
            pieces.Add((pattern[from..hole.Index], language));
            pieces.AddRange(Told(fillings[int.Parse(hole.ValueSpan[1..^1], CultureInfo.InvariantCulture)]));
            from = hole.Index + hole.Length;
        }

        pieces.Add((pattern[from..], language));
        pieces.RemoveAll(piece => piece.Text.Length == 0);
        if (sentence.IsWhole && pieces.Count > 0)
        {
            pieces[0] = pieces[0] with { Text = char.ToUpperInvariant(pieces[0].Text[0]) + pieces[0].Text[1..] };
            if (!Sentence.IsEnded(pieces[^1].Text))
                pieces.Add((".", null));
        }

        return pieces;
    }

    /// <summary>The sentence for one or for many: <c>KEY.one</c> or <c>KEY.many</c>, with <c>{count}</c>.</summary>
    /// <param name="key">Its name without the ending.</param>
    /// <param name="count">How many.</param>
    /// <param name="values">What is filled in beside.</param>
    public string Count(string key, int count, params ReadOnlySpan<(string Name, string Value)> values) => Say(
        count == 1 ? key + ".one" : key + ".many",
        [("count", count.ToString(CultureInfo.InvariantCulture)), .. values]);

    /// <summary>A time of day.</summary>
    public string Clock(DateTimeOffset moment) => Local(moment).ToString("HH:mm", CultureInfo.InvariantCulture);

    /// <summary>A moment: the time alone where it is of the same day.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="now">The moment at which it is read.</param>
    public string Moment(DateTimeOffset moment, DateTimeOffset now) =>
        Local(moment).Date == Local(now).Date ? Clock(moment) : Moment(moment);

    /// <summary>A moment with its day.</summary>
    public string Moment(DateTimeOffset moment) =>
        Fill(Say("moment"), DateOnly.FromDateTime(Local(moment).Date)).Replace("{time}", Clock(moment), StringComparison.Ordinal);

    /// <summary>A day with its weekday, such as Wed 24 March.</summary>
    public string Date(DateOnly day) => Fill(Say("date"), day);

    /// <summary>A day by a pattern of its own.</summary>
    /// <param name="day">The day.</param>
    /// <param name="pattern">The pattern's name.</param>
    public string Date(DateOnly day, string pattern) => Fill(Say(pattern), day);

    /// <summary>A day without its weekday.</summary>
    public string Day(DateOnly day) => Fill(Say("day"), day);

    /// <summary>A day with its year.</summary>
    public string DateOfYear(DateOnly day) => Fill(Say("date-year"), day);

    /// <summary>A weekday's short name.</summary>
    public string Weekday(DateOnly day) => _file.Nth("weekdays", ((int)day.DayOfWeek + 6) % 7, 7);

    /// <summary>A day in the space of a drawing, such as 24 Mar.</summary>
    public string ShortDay(DateOnly day) =>
        Say("day").Replace("{day}", day.Day.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal)
        .Replace("{month}", ShortMonth(day), StringComparison.Ordinal);

    /// <summary>A month's short name.</summary>
    public string ShortMonth(DateOnly day) => _file.Nth("months", day.Month - 1, 12);

    /// <summary>The local day of a moment.</summary>
    public DateOnly DayOf(DateTimeOffset moment) => DateOnly.FromDateTime(Local(moment).Date);

    /// <summary>Rain with its unit.</summary>
    /// <param name="rainMm">Rain, mm.</param>
    public string Rain(double rainMm) => Figure(Units.Rain(rainMm));

    /// <summary>A temperature with its unit.</summary>
    /// <param name="temperatureC">Temperature, °C.</param>
    public string Temperature(double temperatureC) => Figure(Units.Temperature(temperatureC));

    /// <summary>A value with its unit.</summary>
    /// <param name="quantity">What is measured.</param>
    /// <param name="value">In its canonical unit.</param>
    public string Value(Quantity quantity, double value) => Figure(Units.Value(quantity, value));

    /// <summary>Hours with their unit.</summary>
    /// <param name="hours">Hours.</param>
    public string Hours(double hours) => Figure(hours.ToString("0.#", CultureInfo.InvariantCulture) + " h");

    /// <summary>A bare figure.</summary>
    /// <param name="number">The number.</param>
    /// <param name="format">How it is written.</param>
    public string Number(double number, string format = "0.#") => Figure(number.ToString(format, CultureInfo.InvariantCulture));

    /// <summary>A figure as this language writes it, held together with its unit.</summary>
    /// <param name="text">With a decimal point.</param>
    public string Figure(string text) => text.Replace(".", _file.Word("decimal"), StringComparison.Ordinal).Replace(' ', NoBreak);

    /// <summary>A level's word.</summary>
    public string Level(Level level) => _file.Word("level." + level.Word());

    /// <summary>A quantity's word.</summary>
    public string Quantity(Quantity quantity) => _file.Word("quantity." + quantity.Word());

    /// <summary>Names in a row: a, b and c.</summary>
    /// <param name="names">The names.</param>
    public string List(IReadOnlyList<string> names) => names.Count < 2
        ? string.Concat(names)
        : $"{string.Join(", ", names.Take(names.Count - 1))} {_file.Word("and")} {names[^1]}";

    private IEnumerable<(string Text, string? Language)> Told(object filling) => filling switch
    {
        Sentence sentence => Pieces(sentence),
        // Of a range the word between its ends is this language's.
        Figure figure =>
            [(Figure(figure.Text.Replace(" to ", Say("figure.to", ("from", ""), ("to", "")), StringComparison.Ordinal)), null)],
        LocalTime time => [(Told(time), null)],
        _ => [(filling.ToString()!, filling is English ? WordsFile.English : null)],
    };

    private string Told(LocalTime time)
    {
        var day = DateOnly.FromDateTime(time.At);
        return time.Form switch
        {
            TimeForm.Day => Day(day),
            TimeForm.Weekday => Date(day),
            TimeForm.DayOfYear or TimeForm.Written => DateOfYear(day),
            TimeForm.Moment => Fill(Say("moment"), day).Replace(
                "{time}", time.At.ToString("HH:mm", CultureInfo.InvariantCulture), StringComparison.Ordinal),
            TimeForm.Clock => time.At.ToString("HH:mm", CultureInfo.InvariantCulture),
            TimeForm.Month => MonthName(day),
        };
    }

    private DateTimeOffset Local(DateTimeOffset moment) => TimeZoneInfo.ConvertTime(moment, Zone);

    private string Fill(string pattern, DateOnly day) => pattern
        .Replace("{weekday}", _file.Nth("weekdays", ((int)day.DayOfWeek + 6) % 7, 7), StringComparison.Ordinal)
        .Replace("{day}", day.Day.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal)
        .Replace("{month}", MonthName(day), StringComparison.Ordinal)
        .Replace("{year}", day.Year.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal);

    private string MonthName(DateOnly day) => _file.Nth(WordsFile.PagePrefix + "months", day.Month - 1, 12);
}
