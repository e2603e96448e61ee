using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;
using Fluid.Values;

namespace BackyardSentinel.Delivery;

/// <summary>Where an alert is read: by which clock, and under which names.</summary>
/// <param name="Zone">The time zone.</param>
/// <param name="Names">The names.</param>
internal readonly record struct AlertPlace(TimeZoneInfo Zone, AlertNames Names);

/// <summary>Facts as the templates of messages see them: local times, figures as people write them, false where missing.</summary>
/// <param name="words">The words.</param>
/// <param name="at">Where they are read.</param>
/// <param name="units">The units.</param>
/// <param name="nameLength">Most characters of a name.</param>
internal sealed class FactsInWords(WordsFile words, AlertPlace at, UnitSystem units, int nameLength = int.MaxValue) : IFactWriter
{
    private readonly Dictionary<string, FluidValue> _values = new(StringComparer.Ordinal);
    private string? _site;

    /// <summary>All facts of one occasion.</summary>
    /// <param name="occasion">The occasion.</param>
    /// <param name="plantings">The plantings it came to, one or more; none where it is not about plantings.</param>
    /// <param name="counted">Several plantings are told by their number.</param>
    public Dictionary<string, FluidValue> Of(Occasion occasion, IReadOnlyList<string> plantings, bool counted)
    {
        _site = occasion.Site;
        var site = Shorten(occasion.Site, nameLength);
        var planting = Plantings(
            [.. plantings.Select(id => occasion.Site is { } there ? at.Names.Planting(there, id) ?? id : id)],
            counted);
        Text("site", site);
        Text("planting", planting);
        Text(
            "place",
            planting is null
                ? site ?? words.Word("garden")
                : words
                    .Word("place")
                    .Replace("{planting}", planting, StringComparison.Ordinal)
                    .Replace("{site}", site, StringComparison.Ordinal));
        Moment("at", occasion.At);
        occasion.WriteFacts(this);
        return _values;
    }

    /// <summary>A moment by the local clock.</summary>
    public string Moment(DateTimeOffset moment)
    {
        var local = TimeZoneInfo.ConvertTime(moment, at.Zone);
        return Fill(words.Word("moment"), DateOnly.FromDateTime(local.Date))
            .Replace("{time}", local.ToString("HH:mm", CultureInfo.InvariantCulture), StringComparison.Ordinal);
    }

    /// <summary>A name cut to so many characters, the last one saying so.</summary>
    public static string? Shorten(string? name, int length) => name is null || name.Length <= length ? name : name[..(length - 1)] + "…";

    /// <inheritdoc/>
    public void Text(string name, string? text) => _values[name] = text is null ? BooleanValue.False : new StringValue(text);

    /// <inheritdoc/>
    public void Named(string name, string id, string called) => Text(name, Shorten(called, nameLength));

    /// <inheritdoc/>
    public void Flag(string name, bool holds) => _values[name] = BooleanValue.Create(holds);

    /// <inheritdoc/>
    public void Whole(string name, long? number) =>
        _values[name] = number is { } known ? NumberValue.Create(known) : BooleanValue.False;

    /// <inheritdoc/>
    public void Tenths(string name, double? number) => Text(name, Decimal(number?.ToString("0.0", CultureInfo.InvariantCulture)));

    /// <inheritdoc/>
    public void Unsure(string name, double number) => Text(name, Decimal(UnitHint.Figure(number)));

    /// <inheritdoc/>
    public void Rain(string name, double? rainMm) => Text(name, Decimal(rainMm is { } mm ? units.Rain(mm) : null));

    /// <inheritdoc/>
    public void Temperature(string name, double? temperatureC) =>
        Text(name, Decimal(temperatureC is { } celsius ? units.Temperature(celsius) : null));

    /// <inheritdoc/>
    public void Value(string name, Quantity quantity, double value) => Text(name, Decimal(units.Value(quantity, value)));

    /// <summary>Its size; which way is a word of the sentence.</summary>
    public void Offset(string name, TimeSpan by) => Whole(name, (long)Math.Abs(by.TotalMinutes));

    /// <inheritdoc/>
    public void Moment(string name, DateTimeOffset? moment) => Text(name, moment is { } known ? Moment(known) : null);

    /// <inheritdoc/>
    public void Day(string name, DateOnly? day) => Text(name, day is { } known ? Fill(words.Word("date"), known) : null);

    /// <inheritdoc/>
    public void Level(string name, Level level) => Text(name, LevelWord(level));

    /// <inheritdoc/>
    public void Levels(string name, IReadOnlyDictionary<string, Level>? levels) => Text(
        name,
        levels is null
            ? null
            : string.Join(
                ", ",
                levels.OrderBy(one => one.Key, StringComparer.Ordinal).Select(one => $"{one.Key} {LevelWord(one.Value)}")));

    /// <inheritdoc/>
    public void Stage(string name, int code) => Whole(name, code);

    /// <inheritdoc/>
    public void Series(string name, string series) =>
        Text(name, Shorten(at.Names.Series(series) ?? AlertNames.TopicOf(series), nameLength));

    /// <inheritdoc/>
    public void Sensor(string name, Quantity quantity, int rank) =>
        Text(name, _site is { } site ? Shorten(at.Names.Sensor(site, quantity, rank), nameLength) : null);

    /// <inheritdoc/>
    public void CopperPerArea(string name, double? kgPerHa) => Text(name, kgPerHa is { } known ? units.MassPerArea(known) : null);

    /// <summary>Its word, and under <c>NAME_key</c> the word that is the same in every language.</summary>
    public void Quantity(string name, Quantity quantity)
    {
        Text(name, words.Word("quantity." + quantity.Word()));
        Text(name + "_key", quantity.Word());
    }

    /// <summary>The names as a list in words, or their number; <c>null</c> without any.</summary>
    private string? Plantings(IReadOnlyList<string> plantings, bool counted)
    {
        if (plantings.Count > 1 && counted)
            return words
                .Word("plantings")
                .Replace("{count}", plantings.Count.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal);
        var names = plantings.Select(planting => Shorten(planting, nameLength)!).ToList();
        return names.Count switch
        {
            0 => null,
            1 => names[0],
            _ => $"{string.Join(", ", names.Take(names.Count - 1))} {words.Word("and")} {names[^1]}",
        };
    }

    private string LevelWord(Level level) => words.Word("level." + level.Word());

    private string Fill(string pattern, DateOnly day) => pattern
        .Replace("{weekday}", words.Nth("weekdays", ((int)day.DayOfWeek + 6) % 7, 7), StringComparison.Ordinal)
        .Replace("{day}", day.Day.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal)
        .Replace("{month}", words.Nth("months", day.Month - 1, 12), StringComparison.Ordinal);

    private string? Decimal(string? number) => number?.Replace(".", words.Word("decimal"), StringComparison.Ordinal);
}
