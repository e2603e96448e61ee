using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Live;
using BackyardSentinel.Web.Access;

namespace BackyardSentinel.Web;

/// <summary>One request of one visitor: what he looks at, and what he may do.</summary>
/// <param name="Parts">What the page is made from.</param>
/// <param name="Site">The site he looks at.</param>
/// <param name="Role">What he may do.</param>
/// <param name="Pass">What forms carry.</param>
/// <param name="Link">An address of ours with the site kept, from a path such as <c>/weather</c>.</param>
public sealed record Visit(PageParts Parts, Site Site, Role Role, string Pass, Func<string, string> Link)
{
    /// <summary>The words, by the site's clock.</summary>
    public PageWords Words => field ??= Parts.Words.Page(Site.Zone);

    /// <summary>The watch over the site.</summary>
    public SiteWatch WatchIn(GardenNow now) => now.Watches[Site.Id];
}
