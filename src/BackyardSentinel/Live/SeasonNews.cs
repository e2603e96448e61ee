using BackyardSentinel.Infection;
using BackyardSentinel.Sensors;
using BackyardSentinel.Weather;

namespace BackyardSentinel.Live;

/// <summary>Something that a season has given, in the order in which it was judged.</summary>
public abstract record SeasonNews;

/// <summary>A reading was taken.</summary>
/// <param name="Series">Its series.</param>
/// <param name="Reading">The reading, as it is stored.</param>
/// <param name="ReceivedUs">When it came, µs since 1970 UTC.</param>
public sealed record ReadingNews(SeriesMap Series, Reading Reading, long ReceivedUs) : SeasonNews;

/// <summary>An interval was judged.</summary>
/// <param name="Watch">The site's watch; it shows this judgement only until the next news is asked for.</param>
public sealed record IntervalNews(SiteWatch Watch) : SeasonNews;

/// <summary>An infection window has opened or closed.</summary>
/// <param name="Site">The site's id.</param>
/// <param name="Window">The window.</param>
/// <param name="IsTakenBack">It was told before, and what came since says that there was none.</param>
public sealed record WindowNews(string Site, InfectionWindow Window, bool IsTakenBack = false) : SeasonNews;
