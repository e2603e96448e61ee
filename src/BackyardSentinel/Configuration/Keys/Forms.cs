using System.Globalization;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Units;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Configuration.Keys;

/// <summary>The forms by name, so that a table of keys reads as one; each says its range in the words of all the others.</summary>
internal static class Forms
{
    public static KeyForm YesNo { get; } = new YesNoForm();

    public static KeyForm AnyNumber { get; } = new NumberForm($"a number", null, null);

    public static KeyForm NonZero { get; } = new NumberForm($"a number other than 0", null, null, MayBeZero: false);

    public static KeyForm Identifier { get; } =
        new TextForm($"1 to 40 of a-z, 0-9 and '-', starting with a letter or digit", 40, "^[a-z0-9][a-z0-9-]{0,39}$");

    public static KeyForm FilePath { get; } = new TextForm($"the path of a file", 1024);

    public static KeyForm Topic { get; } =
        new TextForm($"an MQTT topic without '+' and '#', not starting with '$'", 1024, "^[^$+#][^+#]*$");

    public static KeyForm Zone { get; } = new TextForm($"an IANA time zone such as Europe/Rome, or UTC", 64);

    public static KeyForm Address { get; } = new TextForm(
        $"an address that starts with https:// or http://, file:PATH or env:NAME",
        2048,
        "^(https?://[^/?#@]+([/?#].*)?|(file|env):.+)$");

    public static KeyForm Elsewhere { get; } = new TextForm($"file:PATH or env:NAME", 2048, "^(file|env):.+");

    public static KeyForm TimeOfDay { get; } =
        new TextForm($"a time of day such as \"22:00\"; both quiet keys or neither", 5, "^([01][0-9]|2[0-3]):[0-5][0-9]$");

    public static KeyForm BbchCode { get; } = new NumberForm($"a BBCH code from 0 to 97", 0, 97, IsWhole: true);

    public static KeyForm Text(int longest) => Text(longest, $"1 to {longest} characters");

    public static KeyForm Text(int longest, Sentence range, string? pattern = null) => new TextForm(range, longest, pattern);

    public static KeyForm JsonPath(Sentence examples) => Text(256, $"a path {examples}", "^[^$]");

    public static KeyForm Number(double least, double most) =>
        new NumberForm($"a number from {Written(least)} to {Written(most)}", least, most);

    public static KeyForm Whole(double least, double most) =>
        new NumberForm($"a whole number from {Written(least)} to {Written(most)}", least, most, IsWhole: true);

    public static KeyForm Duration(string shortest, string longest) =>
        new DurationForm($"a duration from {new Name(shortest)} to {new Name(longest)}", Seconds(shortest), Seconds(longest));

    public static KeyForm OneOf(params IEnumerable<string> words)
    {
        List<string> all = [.. words];
        return new WordForm(all.Count == 1 ? Sentence.Of(all[0]) : $"{Sentence.Names(all[..^1])} or {new Name(all[^1])}", all);
    }

    public static KeyForm ListOf(params IEnumerable<string> words)
    {
        List<string> all = [.. words];
        return new WordListForm($"a list of {Sentence.Names(all[..^1])} and {new Name(all[^1])}", all);
    }

    public static AmountForm Amount(Dimension dimension, double least, double most, bool mayBeBare, Sentence range) =>
        new(range, dimension, least, most, mayBeBare);

    public static KeyForm Part(string part) => new PartForm($"a map of keys", part);

    public static KeyForm List(string part, Sentence range) => new PartListForm(range, part);

    // As it is written in the file: with a decimal point in every language.
    private static Name Written(double number) => new(number.ToString(CultureInfo.InvariantCulture));

    private static double Seconds(string duration) => DurationText.Parse(duration)!.Value.TotalSeconds;
}
