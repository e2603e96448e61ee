using System.Globalization;
using System.Text;
using BackyardSentinel.Live;

namespace BackyardSentinel.Web.Api;

/// <summary>The service's figures in the OpenMetrics text format 1.0.</summary>
internal static class Metrics
{
    /// <summary>Writes them.</summary>
    public static byte[] Write(GardenNow now, PageParts parts)
    {
        var text = new StringBuilder();
        Family("sentinel_level", "gauge", "Level of a planting: unknown -1, clear 0 to severe 4.");
        foreach (var (site, watch) in now.Watches)
        {
            foreach (var planting in watch.Plantings)
                Sample("sentinel_level", (int)planting.Risk.Level, ("site", site), ("planting", planting.Planting.Id));
        }

        Family("sentinel_intervals_judged", "counter", "Intervals of weather judged since the start.");
        foreach (var (site, watch) in now.Watches)
            Sample("sentinel_intervals_judged_total", watch.IntervalsJudged, ("site", site));
        Family("sentinel_last_interval_timestamp_seconds", "gauge", "End of the interval judged last.");
        foreach (var (site, watch) in now.Watches)
        {
            if (watch.LastInterval is { } last)
                Sample("sentinel_last_interval_timestamp_seconds", last.End.ToUnixTimeSeconds(), ("site", site));
        }

        Family("sentinel_series_silent", "gauge", "Sensors that have said nothing for longer than their limit.");
        foreach (var site in parts.Garden.Sites)
            Sample("sentinel_series_silent", Leaves.Silent(now, site), ("site", site.Id));
        Family("sentinel_values_refused", "gauge", "Sensors whose last word cannot be used.");
        foreach (var (site, watch) in now.Watches)
            Sample("sentinel_values_refused", watch.Refusing.Count + watch.Doubts.Count, ("site", site));
        Family("sentinel_broker_reached", "gauge", "1 while the broker can be heard.");
        Sample("sentinel_broker_reached", parts.LinkTrouble() is null ? 1 : 0);
        Family("sentinel_well", "gauge", "1 while readings are taken and judged, and the broker is not away for long.");
        Sample("sentinel_well", parts.IsWell() ? 1 : 0);
        text.Append("# EOF\n");
        return Encoding.UTF8.GetBytes(text.ToString());

        void Family(string name, string type, string help) => text.Append($"# TYPE {name} {type}\n# HELP {name} {help}\n");

        void Sample(string name, double value, params ReadOnlySpan<(string Name, string Value)> labels)
        {
            text.Append(name);
            if (labels.Length > 0)
            {
                text.Append('{');
                for (var i = 0; i < labels.Length; i++)
                    text.Append($"{(i > 0 ? "," : "")}{labels[i].Name}=\"{labels[i].Value}\"");
                text.Append('}');
            }

            text.Append(' ').Append(value.ToString("0.###", CultureInfo.InvariantCulture)).Append('\n');
        }
    }
}
