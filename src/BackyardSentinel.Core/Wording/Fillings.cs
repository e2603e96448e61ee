using System.Globalization;

namespace BackyardSentinel.Wording;

/// <summary>What something is called: the same in every language.</summary>
/// <param name="Text">The name.</param>
public readonly record struct Name(string Text)
{
    /// <inheritdoc/>
    public override string ToString() => Text;
}

/// <summary>What is to be had in English only, such as the words of the system; other languages say that it is.</summary>
/// <param name="Text">The words.</param>
public readonly record struct English(string Text)
{
    /// <inheritdoc/>
    public override string ToString() => Text;
}

/// <summary>A figure, with its unit or without.</summary>
/// <param name="Text">With a decimal point.</param>
public readonly record struct Figure(string Text)
{
    /// <inheritdoc/>
    public override string ToString() => Text;
}

/// <summary>How a day or a moment is written; members are named by what is told of it.</summary>
public enum TimeForm
{
    /// <summary>4 Mar.</summary>
    Day,

    /// <summary>Thu 4 Mar.</summary>
    Weekday,

    /// <summary>4 Mar 2027.</summary>
    DayOfYear,

    /// <summary>2027-03-04, as the journal has it.</summary>
    Written,

    /// <summary>Thu 4 Mar 09:10.</summary>
    Moment,

    /// <summary>09:10.</summary>
    Clock,

    /// <summary>March.</summary>
    Month,
}

/// <summary>A day or a moment by the clock of the place.</summary>
/// <param name="At">Local time.</param>
/// <param name="Form">How it is written.</param>
public readonly record struct LocalTime(DateTime At, TimeForm Form)
{
    /// <summary>A day.</summary>
    /// <param name="day">The day.</param>
    /// <param name="form">How it is written.</param>
    public static LocalTime Of(DateOnly day, TimeForm form) => new(day.ToDateTime(TimeOnly.MinValue), form);

    /// <summary>A moment by a zone's clock.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="zone">The zone.</param>
    /// <param name="form">How it is written.</param>
    public static LocalTime Of(DateTimeOffset moment, TimeZoneInfo zone, TimeForm form) =>
        new(TimeZoneInfo.ConvertTime(moment, zone).DateTime, form);

    /// <summary>In English.</summary>
    public override string ToString() => At.ToString(
        Form switch
        {
            TimeForm.Day => "d MMM",
            TimeForm.Weekday => "ddd d MMM",
            TimeForm.DayOfYear => "d MMM yyyy",
            TimeForm.Written => "yyyy-MM-dd",
            TimeForm.Moment => "ddd d MMM HH:mm",
            TimeForm.Clock => "HH:mm",
            TimeForm.Month => "MMMM",
        },
        CultureInfo.InvariantCulture);
}
