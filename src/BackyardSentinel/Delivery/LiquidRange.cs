using System.Text.RegularExpressions;

namespace BackyardSentinel.Delivery;

/// <summary>
/// A range in a Liquid template, such as <c>(1..9)</c>. It is made as a whole before a step of it is counted, so one number too long can
/// take all memory; no message needs one.
/// </summary>
internal static partial class LiquidRange
{
    /// <summary>What is said of a template with one, as the end of a sentence.</summary>
    public const string Fault = "has a range, such as (1..9), which no message needs; loop over what it lists instead";

    /// <summary>A template has one.</summary>
    public static bool IsIn(string template) => Range().IsMatch(template);

    [GeneratedRegex(@"\{[%{][^%{}]*\([^()%{}]*\.\.[^()%{}]*\)")]
    private static partial Regex Range();
}
