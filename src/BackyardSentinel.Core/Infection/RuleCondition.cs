using System.Globalization;
using BackyardSentinel.Units;

namespace BackyardSentinel.Infection;

/// <summary>One condition of a rule, with the figure that stands against it.</summary>
/// <param name="What">What is measured, in words.</param>
/// <param name="Value">The figure; <c>null</c> when it is not known.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Asked">What the rule asks for.</param>
/// <param name="IsMet">The condition holds.</param>
public readonly record struct RuleCondition(string What, double? Value, string Unit, string Asked, bool IsMet)
{
    /// <summary>How much more is asked for, in the unit; <c>null</c> where it is met, or where more is not what is asked.</summary>
    public double? Lack { get; init; }

    /// <summary>The least figure that is asked for, in the unit; <c>null</c> where none is.</summary>
    public double? Least { get; init; }

    /// <summary>How much more is asked for, with its unit, to one decimal and never rounded down to nothing.</summary>
    /// <param name="units">The units of what is told.</param>
    public string LackIn(UnitSystem units)
    {
        var lack = Lack!.Value;
        if (Unit != "mm")
            return $"{Tenths(lack)} {Unit}";
        var (depth, step) = (units.UnitOf(Dimension.Depth), units == UnitSystem.Us ? 100 : 10);
        return units.Rain(depth.ToReckoned(Math.Ceiling(Math.Round(depth.FromReckoned(lack), 6) * step) / step));
    }

    /// <summary>A lack rounded up to one decimal.</summary>
    internal static string Tenths(double lack) =>
        (Math.Ceiling(Math.Round(lack, 6) * 10) / 10).ToString("0.0", CultureInfo.InvariantCulture);

    /// <summary>The condition, with what is short of a least figure.</summary>
    internal RuleCondition From(double least) => this with
    {
        Least = least,
        Lack = IsMet || Value is not { } value ? null : Math.Max(0, least - value),
    };
}
