using BackyardSentinel.Infection;

namespace BackyardSentinel.Live;

/// <summary>Something that a season has given, in the order in which it was judged.</summary>
public abstract record SeasonNews;

/// <summary>A reading was taken.</summary>
/// <param name="Sensed">The reading, as it is stored.</param>
public sealed record ReadingNews(SensedReading Sensed) : SeasonNews;

/// <summary>An interval was judged.</summary>
/// <param name="Watch">The site's watch; it shows this judgement only until the next news is asked for.</param>
public sealed record IntervalNews(SiteWatch Watch) : SeasonNews;

/// <summary>An infection window has opened or closed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Window">The window.</param>
/// <param name="IsTakenBack">It was told before, and what came since says that there was none.</param>
public sealed record WindowNews(string Site, InfectionWindow Window, bool IsTakenBack = false) : SeasonNews;
