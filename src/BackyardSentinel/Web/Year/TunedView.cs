using BackyardSentinel.Delivery;

namespace BackyardSentinel.Web.Year;

/// <summary>The part of a page that shows what tuning came to.</summary>
/// <param name="Kept">What was kept.</param>
/// <param name="Words">The words.</param>
public sealed record TunedView(KeptTuning Kept, PageWords Words);
