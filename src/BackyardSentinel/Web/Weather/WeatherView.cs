using BackyardSentinel.Web.Drawing;

namespace BackyardSentinel.Web.Weather;

/// <summary>The page Weather.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">The one sentence.</param>
/// <param name="Lines">What belongs to it, a sentence each.</param>
/// <param name="AsOf">As of when.</param>
/// <param name="Heading">Over the drawing.</param>
/// <param name="Choices">How far back can be looked.</param>
/// <param name="Facts">What is drawn.</param>
public sealed record WeatherView(
    Leaf Leaf,
    string Headline,
    IReadOnlyList<string> Lines,
    string AsOf,
    string Heading,
    IReadOnlyList<DaysChoice> Choices,
    WeatherFacts Facts);

/// <summary>A time to look back on.</summary>
/// <param name="Text">Its words.</param>
/// <param name="Path">Its address.</param>
/// <param name="IsCurrent">It is the one that is shown.</param>
public sealed record DaysChoice(string Text, string Path, bool IsCurrent);
