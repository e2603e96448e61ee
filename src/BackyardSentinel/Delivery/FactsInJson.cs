using System.Globalization;
using BackyardSentinel.Alerting;
using BackyardSentinel.Contract;
using BackyardSentinel.Garden;
using BackyardSentinel.Infection;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Delivery;

/// <summary>
/// Facts by name, for templates of bodies and for machines: UTC moments, days as year-month-day, amounts with one decimal
/// point and their unit in the name. What is not known is left out, so that a template's default takes its place.
/// </summary>
internal sealed class FactsInJson : IFactWriter
{
    private readonly SortedDictionary<string, string> _values = new(StringComparer.Ordinal);

    private FactsInJson()
    {
    }

    /// <summary>The facts of an alert: of one that tells the same of several plantings those of the most urgent.</summary>
    /// <param name="alert">The alert.</param>
    public static IReadOnlyDictionary<string, string> Of(Alert alert)
    {
        var facts = new FactsInJson();
        if (alert.Kind == Alert.SummaryKind)
            facts.Whole("count", Alert.News(alert.Occasions).Count);
        else
            alert.Occasions[0].WriteFacts(facts);
        if (alert.Level is { } highest)
        {
            facts.Level("level", highest);
            facts.Whole("level_number", (int)highest);
        }

        if (alert.Occasions.Count > 1)
        {
            facts.Text(AlertMessage.EpisodesFact, string.Join('\n', alert.Occasions.Select(occasion => occasion.Episode).Distinct()));
            facts.Text("tells", string.Join('\n', alert.Tells));
        }

        return facts._values;
    }

    /// <inheritdoc/>
    public void Text(string name, string? text)
    {
        if (text is not null)
            _values[name] = text;
    }

    /// <summary>Its id, and under <c>NAME_name</c> what it is called.</summary>
    public void Named(string name, string id, string called)
    {
        Text(name, id);
        Text(name + "_name", called);
    }

    /// <inheritdoc/>
    public void Flag(string name, bool holds) => Text(name, holds ? "true" : "false");

    /// <inheritdoc/>
    public void Whole(string name, long? number) => Text(name, number?.ToString(CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public void Tenths(string name, double? number) => Text(name, number?.ToString("0.0", CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public void Unsure(string name, double number) => Text(name, UnitHint.Figure(number));

    /// <inheritdoc/>
    public void Rain(string name, double? rainMm) => Tenths(name + "_mm", rainMm);

    /// <inheritdoc/>
    public void Temperature(string name, double? temperatureC) => Tenths(name + "_c", temperatureC);

    /// <inheritdoc/>
    public void Value(string name, Quantity quantity, double value) => Text(name, value.ToString("0.###", CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public void Offset(string name, TimeSpan by) => Whole(name, (long)by.TotalMinutes);

    /// <inheritdoc/>
    public void Moment(string name, DateTimeOffset? moment) => Text(name, moment is { } known ? MomentConverter.Text(known) : null);

    /// <inheritdoc/>
    public void Day(string name, DateOnly? day) => Text(name, day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public void Level(string name, Level level) => Text(name, level.Word());

    /// <inheritdoc/>
    public void Levels(string name, IReadOnlyDictionary<string, Level>? levels) => Text(
        name,
        levels is null
            ? null
            : string.Join(
                ", ",
                levels.OrderBy(one => one.Key, StringComparer.Ordinal).Select(one => $"{one.Key} {one.Value.Word()}")));

    /// <inheritdoc/>
    public void Stage(string name, int code) => Text(name, code.ToString("00", CultureInfo.InvariantCulture));

    /// <inheritdoc/>
    public void Series(string name, string series) => Text(name, AlertNames.TopicOf(series, "#"));

    /// <inheritdoc/>
    public void Sensor(string name, Quantity quantity, int rank) => Whole(name + "_number", rank + 1);

    /// <inheritdoc/>
    public void CopperPerArea(string name, double? kgPerHa) => Tenths(name + "_kg_per_ha", kgPerHa);

    /// <inheritdoc/>
    public void Quantity(string name, Quantity quantity) => Text(name, quantity.Word());
}
