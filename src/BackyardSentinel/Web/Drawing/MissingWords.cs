using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;
using BackyardSentinel.Reporting;

namespace BackyardSentinel.Web.Drawing;

/// <summary>What is missing, in words.</summary>
internal static class MissingWords
{
    /// <summary>A list such as temperature and leaf wetness; what was left out as doubtful or refused is named.</summary>
    public static string Of(Missing missing, PageWords words)
    {
        List<string> parts = [];
        if (missing.HasFlag(Missing.Temperature))
            parts.Add(words.Quantity(Quantity.Temperature));
        if (missing.HasFlag(Missing.Wetness))
            parts.Add(words.Quantity(Quantity.LeafWetness));
        if (missing.HasFlag(Missing.Rain))
            parts.Add(words.Quantity(Quantity.Rain));
        if (missing.HasFlag(Missing.UnderShelter))
            parts.Add(words.Say("missing.under-shelter"));
        if (missing.HasFlag(Missing.Doubted))
            parts.Add(words.Say("missing.doubted"));
        if (missing.HasFlag(Missing.Refused))
            parts.Add(words.Say("missing.refused"));
        return parts.Count == 0 ? words.Say("missing.weather") : words.List(parts);
    }
}
