using System.Globalization;
using System.Text;
using BackyardSentinel.Configuration.Reading;
using BackyardSentinel.Delivery;
using BackyardSentinel.Garden;

namespace BackyardSentinel.Commands.SetUp;

/// <summary>Asks where the garden is and what trees stand in it.</summary>
internal static class PlaceQuestions
{
    private const int MostPlantings = 50;

    /// <summary>Asks.</summary>
    public static GardenPlan Ask(Dialogue dialogue)
    {
        var name = dialogue.AskText("What shall messages call the garden?", "Garden", TooLong) ?? "Garden";
        var units = dialogue.Ask("Units to read and write: metric (°C, mm) or us (°F, inches)?", "metric", ["metric", "us"]);
        var language = dialogue.Ask("The language of messages, page and report: en (English) or de (German)?", "en", AlertWords.Languages);
        var place = dialogue.Ask("Latitude and longitude, such as 46.05, 14.51 (west and south are negative), or none?", "none", ReadPlace);
        if (place is null)
            dialogue.Say("  Without a place bud stages come from your journal only, and the sun is not known; you can add it later.");
#pragma warning disable RS0030 // only proposed: what is answered goes into the garden file, and nothing else is judged by
        var local = TimeZoneInfo.Local is { HasIanaId: true, Id: var id } && id.Contains('/', StringComparison.Ordinal) ? id : "UTC";
#pragma warning restore RS0030
        var zone = dialogue.Ask("The garden's time zone?", local, ReadZone);
        return new GardenPlan
        {
            Name = name,
            Units = units,
            Language = language,
            Place = place,
            Zone = zone,
            Plantings = AskTrees(dialogue),
        };
    }

    private static List<GardenPlan.Planting> AskTrees(Dialogue dialogue)
    {
        List<GardenPlan.Planting> plantings = [];
        do
        {
            var kind = dialogue.Ask($"A tree: {string.Join(", ", TreeKinds.Words)}?", TreeKind.Peach.Word(), TreeKinds.Words);
            var usual = Untaken(kind, plantings);
            var name = dialogue.AskText("What do you call it?", usual, text => TooLong(text) ?? Taken(text, plantings)) ?? usual;
            var trees = dialogue.Ask("How many of them stand together?", "1", ReadCount);
            var hadCurl = dialogue.Ask("Did they have leaf curl last spring?", false);
            var tree = Enum.GetValues<TreeKind>().First(one => one.Word() == kind);
            plantings.Add(new GardenPlan.Planting(IdOf(name, kind, plantings), name, tree, trees, hadCurl));
        }
        while (plantings.Count < MostPlantings && dialogue.Ask("Is there another kind of tree, or another place with some?", false));
        return plantings;
    }

    private static string Untaken(string kind, List<GardenPlan.Planting> plantings) => Enumerable.Range(1, MostPlantings)
        .Select(i => i == 1 ? kind : string.Create(CultureInfo.InvariantCulture, $"{kind} {i}"))
        .First(one => Taken(one, plantings) is null);

    /// <summary>Messages tell plantings apart by their names.</summary>
    private static string? Taken(string name, List<GardenPlan.Planting> plantings) =>
        plantings.Any(one => string.Equals(one.Name, name, StringComparison.OrdinalIgnoreCase))
            ? $"\"{name}\" is the name of another already"
            : null;

    private static string? TooLong(string text) => text.Length > 60 ? "It is longer than 60 characters" : null;

    private static Dialogue.Reading<(double, double)?> ReadPlace(string answer)
    {
        if (answer == "none")
            return new(null);
        var parts = answer.Split([',', ';', ' '], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        if (parts is not [var north, var east]
            || !double.TryParse(north, NumberStyles.Float, CultureInfo.InvariantCulture, out var latitude)
            || !double.TryParse(east, NumberStyles.Float, CultureInfo.InvariantCulture, out var longitude))
            return new(null, $"\"{answer}\" is not two numbers; write them with points, such as 46.05, 14.51");
        // Two decimals are a kilometre: enough for the sun, and they tell nobody the house.
        return Math.Abs(latitude) > 90 || Math.Abs(longitude) > 180
            ? new(null, "Latitude goes from -90 to 90, longitude from -180 to 180")
            : new((Math.Round(latitude, 2), Math.Round(longitude, 2)));
    }

    private static Dialogue.Reading<string> ReadZone(string answer)
    {
        if (TimeZoneInfo.TryFindSystemTimeZoneById(answer, out var zone) && (zone.HasIanaId || answer == "UTC"))
            return new(answer);
        var near = NearestWord.Find(answer, TimeZoneInfo.GetSystemTimeZones().Select(one => one.Id));
        return new(
            "",
            $"\"{answer}\" is no time zone that this computer knows{(near is null ? ", such as Europe/Ljubljana" : $"; is it {near}?")}");
    }

    private static Dialogue.Reading<int> ReadCount(string answer) =>
        int.TryParse(answer, NumberStyles.None, CultureInfo.InvariantCulture, out var count) && count is >= 1 and <= 999
            ? new(count)
            : new(0, $"\"{answer}\" is not a number from 1 to 999");

    /// <summary>The name in the letters that a topic takes, and no other planting's.</summary>
    private static string IdOf(string name, string kind, List<GardenPlan.Planting> taken)
    {
        var letters = new StringBuilder();
        foreach (var c in name.ToLowerInvariant())
        {
            if (char.IsAsciiLetterOrDigit(c))
                letters.Append(c);
            else if (letters.Length > 0 && letters[^1] != '-')
                letters.Append('-');
        }

        var id = letters.ToString().Trim('-') is { Length: > 0 } plain ? plain[..Math.Min(36, plain.Length)].Trim('-') : kind;
        return Enumerable.Range(1, MostPlantings)
            .Select(i => i == 1 ? id : string.Create(CultureInfo.InvariantCulture, $"{id}-{i}"))
            .First(one => taken.All(other => other.Id != one));
    }
}
