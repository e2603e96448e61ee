namespace BackyardSentinel.Garden;

/// <summary>The infection rules, by name. Each is a class of its own in Infection, where its source stands.</summary>
public enum RuleName
{
    /// <summary>Rain, wet hours and their mean temperature within one wet spell.</summary>
    WetHours,

    /// <summary>Much rain on one local day.</summary>
    RainDay,

    /// <summary>A day or two of wet, mild hours.</summary>
    TwoDay,
}

/// <summary>The one word of each rule, in the garden file and in all output.</summary>
public static class RuleNames
{
    /// <summary>The form of a name under which a rule judges, a variant's too: a regular expression.</summary>
    public const string Form = "^[a-z0-9][a-z0-9-]{0,39}$";

    /// <summary>All words, in the order of the rules.</summary>
    public static IReadOnlyList<string> Words { get; } = [.. Enum.GetValues<RuleName>().Select(Word)];

    /// <summary>The rule's word.</summary>
    public static string Word(this RuleName rule) => rule switch
    {
        RuleName.WetHours => "wet-hours",
        RuleName.RainDay => "rain-day",
        RuleName.TwoDay => "two-day",
    };

    /// <summary>The rule of a word; <c>null</c>: there is none.</summary>
    public static RuleName? Of(string word) =>
        Enum.GetValues<RuleName>().Where(rule => rule.Word() == word).Select(rule => (RuleName?)rule).FirstOrDefault();
}
