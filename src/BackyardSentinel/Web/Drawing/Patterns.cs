using Microsoft.AspNetCore.Html;

namespace BackyardSentinel.Web.Drawing;

/// <summary>The dots and hatches that drawings are filled with, once on each page that has drawings.</summary>
public static class Patterns
{
    private static readonly HtmlString All = new(
        """
        <svg width="0" height="0" aria-hidden="true" focusable="false" class="defs"><defs>
        <pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><circle class="pd" cx="3" cy="3" r=".9"/></pattern>
        <pattern id="gap" width="6" height="6" patternUnits="userSpaceOnUse"><path class="pg" d="M0 6 6 0M0 0 6 6"/></pattern>
        <pattern id="hat" width="5" height="5" patternUnits="userSpaceOnUse"><path class="pv" d="M-1 1 1-1M0 5 5 0M4 6 6 4"/></pattern>
        <pattern id="hatm" width="5" height="5" patternUnits="userSpaceOnUse"><path class="pm" d="M-1 4 1 6M0 0 5 5M4-1 6 1"/></pattern>
        </defs></svg>
        """);

    /// <summary>Draws them; nothing is seen of it.</summary>
    public static IHtmlContent Draw() => All;
}
