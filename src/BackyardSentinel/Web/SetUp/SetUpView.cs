using System.Globalization;
using BackyardSentinel.Configuration;
using BackyardSentinel.Contract;
using BackyardSentinel.Delivery;
using BackyardSentinel.Web.Sensors;
using BackyardSentinel.Wording;

namespace BackyardSentinel.Web.SetUp;

/// <summary>The page Set-up, put into words.</summary>
/// <param name="Leaf">What stands round it.</param>
/// <param name="Headline">Is the installation as it should be?</param>
/// <param name="AsOf">When it was looked at.</param>
/// <param name="Lines">What belongs to it, a sentence each.</param>
/// <param name="Groups">What was found, the worst first.</param>
/// <param name="FileTitle">The garden file.</param>
/// <param name="Holds">What it holds, a sentence each; empty: it could not be used.</param>
/// <param name="Faults">Why it could not be used.</param>
/// <param name="Notes">What is to be noted of it.</param>
/// <param name="WordsToAdd">What the garden's file of words lacks; <c>null</c>: nothing.</param>
/// <param name="Proposed">Series that it could have by what was heard last; <c>null</c>: nobody listened.</param>
/// <param name="ListenPath">Where listening is asked for; <c>null</c>: it is not to be had here, or goes on already.</param>
public sealed record SetUpView(
    Leaf Leaf,
    string Headline,
    string AsOf,
    IReadOnlyList<string> Lines,
    IReadOnlyList<FoundGroup> Groups,
    string FileTitle,
    IReadOnlyList<string> Holds,
    IReadOnlyList<Sentence> Faults,
    IReadOnlyList<Sentence> Notes,
    LinesToAdd? WordsToAdd,
    IReadOnlyList<ProposalView>? Proposed,
    string? ListenPath);

/// <summary>Things that were found alike.</summary>
/// <param name="Title">How they are.</param>
/// <param name="IsFine">Nothing is to be done: they are folded away.</param>
/// <param name="Things">The things.</param>
public sealed record FoundGroup(string Title, bool IsFine, IReadOnlyList<FoundThing> Things);

/// <summary>Puts a look at the installation into words. The page changes nothing that the garden file holds.</summary>
internal static class SetUpPage
{
    /// <summary>Makes the view.</summary>
    /// <param name="visit">The visit.</param>
    /// <param name="leaf">What stands round it.</param>
    /// <param name="look">What was found; <c>null</c>: it is not looked at here, or the look is under way.</param>
    /// <param name="isUnderWay">The look is under way.</param>
    /// <param name="ear">Listens; <c>null</c>: there is no broker to listen to.</param>
    public static SetUpView Of(Visit visit, Leaf leaf, SetUpLook? look, bool isUnderWay, SensorEar? ear)
    {
        var words = visit.Words;
        var heard = ear?.Now();
        if (look is null)
            return new SetUpView(
                leaf,
                words.Say(isUnderWay ? "set-up.looking" : "set-up.not-here"),
                "",
                [words.Say(isUnderWay ? "set-up.looking.wait" : "set-up.not-here.do")],
                [],
                "",
                [],
                [],
                [],
                null,
                null,
                null);
        var groups = new[] { Finding.Wrong, Finding.Look, Finding.Unknown, Finding.Fine }
            .Select(finding => (finding, Things: look.Things.Where(one => one.Result == finding).ToList()))
            .Where(one => one.Things.Count > 0)
            .Select(one => new FoundGroup(
                words.Count("set-up." + one.finding.ToString().ToLowerInvariant(), one.Things.Count),
                one.finding == Finding.Fine,
                one.Things))
            .ToList();
        var toMend = look.Things.Count(one => one.Result is Finding.Wrong or Finding.Look);
        return new SetUpView(
            leaf,
            toMend == 0
                ? words.Say("set-up.well", ("all", words.Number(look.Things.Count)))
                : words.Count("set-up.mend", toMend, ("all", words.Number(look.Things.Count))),
            words.Say("set-up.as-of", ("time", words.Moment(look.At))),
            [words.Say("set-up.edits-nothing")],
            groups,
            words.Say("set-up.file", ("file", look.File)),
            look.Usable is { } garden ? Holds(words, garden, look.HasChanged) : [],
            look.Faults,
            look.Notes,
            look.WordsToAdd,
            heard is null ? null : [.. heard.Result.Proposed.Select(one => ProposalView.Of(one, words))],
            MessagePage.ListenPathFor(visit, ear, heard));
    }

    private static IReadOnlyList<string> Holds(PageWords words, GardenFile garden, bool hasChanged) =>
    [
        words.Say(
            hasChanged ? "set-up.holds-changed" : "set-up.holds",
            ("sites", words.Count("set-up.sites", garden.Sites.Count)),
            ("series", words.Count("set-up.series", garden.Series.Count)),
            ("plantings", words.Count("set-up.plantings", garden.Sites.Sum(site => site.Plantings.Count)))),
        words.Say(
            garden.Broker.Embedded ? "set-up.embedded" : "set-up.broker",
            ("broker", garden.Broker.Host),
            ("port", garden.Broker.Port.ToString(CultureInfo.InvariantCulture)),
            ("store", garden.Store.Path)),
    ];
}
