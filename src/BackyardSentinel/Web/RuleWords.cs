using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Web;

/// <summary>Rules by name.</summary>
internal static class RuleWords
{
    /// <summary>A rule's name in the page's language; a variant goes by the name that the grower gave it.</summary>
    /// <param name="words">The words.</param>
    /// <param name="name">The name under which it judges.</param>
    public static string Rule(this PageWords words, string name) => RuleNames.Of(name) is null ? name : words.Say("rule." + name);
}
