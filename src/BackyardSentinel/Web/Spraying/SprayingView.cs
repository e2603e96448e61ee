using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Spraying;

/// <summary>The page Spraying, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">By when, and when best.</param>
/// <param name="Lines">What belongs to it, a sentence each.</param>
/// <param name="AsOf">As of when, and by which forecast.</param>
/// <param name="Thoughts">What to think of before copper is sprayed again.</param>
/// <param name="Due">What is due: what, on which plantings by when, and why.</param>
/// <param name="Timetables">The hours, product by product.</param>
/// <param name="Refused">What is refused whatever the weather: planting, product, from when to when, why.</param>
/// <param name="Mix">The mix for the next spray; <c>null</c>: none.</param>
/// <param name="NoMix">Why there is none, or not for all.</param>
/// <param name="Cautions">The cautions for the garden's products, the label first.</param>
/// <param name="Ledgers">The copper of each planting.</param>
/// <param name="Allowances">What the labels allow: product, planting, done, left.</param>
/// <param name="Notes">What the plan does not know.</param>
public sealed record SprayingView(
    Leaf Leaf,
    string Headline,
    IReadOnlyList<string> Lines,
    string AsOf,
    IReadOnlyList<string> Thoughts,
    IReadOnlyList<(string What, string Where, string Why)> Due,
    IReadOnlyList<TimetableView> Timetables,
    IReadOnlyList<(string Planting, string Product, string When, string Reason)> Refused,
    MixView? Mix,
    IReadOnlyList<string> NoMix,
    IReadOnlyList<string> Cautions,
    IReadOnlyList<LedgerView> Ledgers,
    IReadOnlyList<(string Product, string Planting, string Done, string Left)> Allowances,
    IReadOnlyList<string> Notes);

/// <summary>The hours of one product on plantings that have the very same ones.</summary>
/// <param name="Title">The product and the plantings.</param>
/// <param name="IsAside">The product is not against curl.</param>
/// <param name="Days">The days.</param>
/// <param name="Footnotes">Why days are refused, by letter from a.</param>
public sealed record TimetableView(string Title, bool IsAside, IReadOnlyList<TimetableDay> Days, IReadOnlyList<string> Footnotes);

/// <summary>One day of it.</summary>
/// <param name="Day">The day.</param>
/// <param name="Bar">Its 24 hours.</param>
/// <param name="Slots">The hours fit for spraying, and which choice they are.</param>
/// <param name="Letters">Where there are none: the footnotes that say why.</param>
public sealed record TimetableDay(string Day, IHtmlContent Bar, IReadOnlyList<(string Hours, string Choice)> Slots, string Letters);

/// <summary>A tank mix.</summary>
/// <param name="Title">What it is for.</param>
/// <param name="For">The hours it is meant for.</param>
/// <param name="Cautions">Cautions, which stand before figures.</param>
/// <param name="Amounts">What goes in, by name.</param>
/// <param name="Steps">What to do, in order.</param>
/// <param name="Shares">How much of it each planting takes.</param>
public sealed record MixView(
    string Title,
    string For,
    IReadOnlyList<string> Cautions,
    IReadOnlyList<(string Name, string Amount)> Amounts,
    IReadOnlyList<string> Steps,
    string Shares);

/// <summary>The copper of one planting.</summary>
/// <param name="Title">The planting.</param>
/// <param name="Area">The ground under its crowns; <c>null</c>: not known.</param>
/// <param name="Rows">The sprays, with sums: day, entry, copper, copper per area, and whether it is a sum.</param>
/// <param name="Bar">Its copper beside the benchmark; <c>null</c>: its area is not known.</param>
/// <param name="Lines">The benchmarks, in sentences.</param>
public sealed record LedgerView(
    string Title,
    string? Area,
    IReadOnlyList<(string Day, string Entry, string Copper, string PerArea, bool IsSum)> Rows,
    IHtmlContent? Bar,
    IReadOnlyList<string> Lines);
