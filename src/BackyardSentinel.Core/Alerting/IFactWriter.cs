using BackyardSentinel.Garden;
using BackyardSentinel.Infection;

namespace BackyardSentinel.Alerting;

/// <summary>
/// Takes the facts of an occasion, each by its name and its meaning: lower case and underscores, without a unit. Whoever
/// writes them gives each its form: words and units for a phone, or text for a machine. A missing fact is <c>null</c>.
/// </summary>
public interface IFactWriter
{
    /// <summary>A word that is the same in every language, such as a rule's; or what the grower wrote.</summary>
    void Text(string name, string? text);

    /// <summary>Something that has an id and is called by a name.</summary>
    void Named(string name, string id, string called);

    /// <summary>Whether something holds.</summary>
    void Flag(string name, bool holds);

    /// <summary>A whole number.</summary>
    void Whole(string name, long? number);

    /// <summary>A number told to a tenth, such as hours.</summary>
    void Tenths(string name, double? number);

    /// <summary>A number of a sensor whose unit is in doubt, told as it came.</summary>
    void Unsure(string name, double number);

    /// <summary>Rain, mm.</summary>
    void Rain(string name, double? rainMm);

    /// <summary>A temperature, °C.</summary>
    void Temperature(string name, double? temperatureC);

    /// <summary>A value in its quantity's unit.</summary>
    void Value(string name, Quantity quantity, double value);

    /// <summary>How far a clock is ahead (positive) or behind (negative).</summary>
    void Offset(string name, TimeSpan by);

    /// <summary>A moment, UTC.</summary>
    void Moment(string name, DateTimeOffset? moment);

    /// <summary>A local day.</summary>
    void Day(string name, DateOnly? day);

    /// <summary>A level.</summary>
    void Level(string name, Level level);

    /// <summary>Levels by rule; <c>null</c>: nothing to tell.</summary>
    void Levels(string name, IReadOnlyDictionary<string, Level>? levels);

    /// <summary>A bud stage, by its BBCH code.</summary>
    void Stage(string name, int code);

    /// <summary>A series, by its name in the store.</summary>
    void Series(string name, string series);

    /// <summary>Which of a site's sensors of a quantity, by its rank among them from 0; nothing where it is the only one.</summary>
    void Sensor(string name, Quantity quantity, int rank);

    /// <summary>Copper on the ground, kg/ha.</summary>
    void CopperPerArea(string name, double? kgPerHa);

    /// <summary>A quantity.</summary>
    void Quantity(string name, Quantity quantity);
}
