using System.Text.Json;
using BackyardSentinel.Garden;
using BackyardSentinel.Sensors;
using BackyardSentinel.Units;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Forecasts;

/// <summary>One number of a forecast in its canonical unit, with the row's time; the value is <c>null</c> where it is missing.</summary>
internal readonly record struct ForecastCell(DateTimeOffset Time, TimeSpan? Length, double? Value);

/// <summary>Collects the numbers of one field, in the order of the rows, and turns them into canonical units.</summary>
internal sealed class ForecastColumn(ForecastField told, ForecastRemarks remarks)
{
    private readonly List<ForecastCell> _cells = [];
    private Unit _unit = told.Unit;
    private bool _unitUnknown;
    private bool _looksFahrenheit;
    private int _outOfRange;

    public ForecastField Field => told;

    public IReadOnlyList<ForecastCell> Cells => _cells;

    private string Name => $"{told.Name} at {told.Path}";

    /// <summary>The payload names the unit of the numbers that follow: it counts, whatever the map says.</summary>
    public void UseUnit(string? name)
    {
        if (name is null) return;
        var known = ForecastUnit.Of(told.Quantity, name);
        _unitUnknown = known is null;
        if (known is not { } unit)
        {
            remarks.Add(
                $"{Name}: the payload says {NumberReader.Quote(System.Text.Encoding.UTF8.GetBytes(name))}, "
                    + "which is no unit known for it; its values were left out");
            return;
        }

        // A map that names no unit of its own is not gainsaid.
        if (told.UnitIsStated && unit != told.Unit)
            remarks.Add(
                $"{Name}: the payload says {NumberReader.Quote(System.Text.Encoding.UTF8.GetBytes(name))}, "
                    + "which is not the unit of the map; the payload's counts");
        _unit = unit;
    }

    public void Add(DateTimeOffset time, TimeSpan? length, JsonElement? value)
    {
        if (value is not { } present)
        {
            _cells.Add(new ForecastCell(time, length, null));
            return;
        }

        var number = JsonNumber.Read(present, decimalComma: false);
        if (number.Outcome == NumberOutcome.Refused) remarks.Add($"{Name}: {number.Reason}");
        Add(time, length, number.Outcome == NumberOutcome.Number ? number.Value : null);
    }

    public void Add(DateTimeOffset time, TimeSpan? length, double? raw)
    {
        var value = raw is null || _unitUnknown ? null : Checked(_unit.ToReckoned(raw.Value * told.Scale));
        _cells.Add(new ForecastCell(time, length, value));
    }

    /// <summary>Looks over the whole column for a unit other than the map's.</summary>
    public void Finish()
    {
        if (_outOfRange > 0)
            remarks.Add($"{Name}: {_outOfRange} values cannot be ({RangeOf(told.Quantity)}) and were left out; check unit and scale");
        var values = _cells.Where(cell => cell.Value is not null).Select(cell => cell.Value!.Value).ToList();
        if (told.Quantity == ForecastQuantity.Humidity && values.Count >= 6 && values.TrueForAll(value => value <= 1))
        {
            remarks.Add($"{Name}: no value is above 1 %, so they seem to be shares; its values were left out, say unit: fraction");
            Empty();
        }
        else if (_looksFahrenheit)
        {
            // Cool hours in °F pass for hot ones in °C, so none of them can be trusted.
            remarks.Add($"{Name}: values above 60 °C seem to be °F; all its values were left out, say unit: \"°F\"");
            Empty();
        }
    }

    private void Empty()
    {
        for (var i = 0; i < _cells.Count; i++) _cells[i] = _cells[i] with { Value = null };
    }

    private double? Checked(double value)
    {
        var verdict = QualityVerdict.Good;
        var taken = value;
        var possible = told.Quantity switch
        {
            ForecastQuantity.RainProbability or ForecastQuantity.Cloud => value is >= 0 and <= 100,
            _ => (verdict = QualityControl.Judge(Measured(told.Quantity), value, out taken)) != QualityVerdict.Impossible,
        };
        if (possible) return taken;
        _outOfRange++;
        // Above any air temperature in °C, and far below what kelvin or a marker such as 9999 give.
        if (told.Quantity == ForecastQuantity.Temperature && value is > Quantities.MaxTemperatureC and < 140) _looksFahrenheit = true;
        return null;
    }

    private static Quantity Measured(ForecastQuantity quantity) => quantity switch
    {
        ForecastQuantity.Temperature => Quantity.Temperature,
        ForecastQuantity.Humidity => Quantity.Humidity,
        ForecastQuantity.Rain => Quantity.Rain,
        ForecastQuantity.WindSpeed => Quantity.WindSpeed,
        ForecastQuantity.RainProbability or ForecastQuantity.Cloud => throw new System.Diagnostics.UnreachableException(),
    };

    private static string RangeOf(ForecastQuantity quantity) =>
        quantity is ForecastQuantity.RainProbability or ForecastQuantity.Cloud
            ? "0 to 100 %"
            : QualityControl.RangeOf(Measured(quantity), UnitSystem.Metric).Text;
}
