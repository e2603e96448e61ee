using System.CommandLine;
using BackyardSentinel.Configuration;
using BackyardSentinel.Garden;
using BackyardSentinel.Logs;
using BackyardSentinel.Watching;

namespace BackyardSentinel.Commands.Replay;

/// <summary>The options of <c>replay</c> that ask what would have been, had a spray been done on another day.</summary>
internal sealed class WhatIfOptions
{
    private readonly Option<string?> _sprayed = new("--if-sprayed")
    {
        HelpName = "DAY",
        Description = "Would the trees have been covered, sprayed on this day? For this run only; needs --garden",
    };

    private readonly Option<string?> _insteadOf = new("--instead-of")
    {
        HelpName = "DAY",
        Description = "The day of the spray in the journal that is moved there (default: none, a spray is added to every planting)",
    };

    private readonly Option<string?> _product = new("--product")
    {
        HelpName = "ID",
        Description = "The product meant by --if-sprayed, where several could be",
    };

    /// <summary>The options.</summary>
    public IEnumerable<Option> All => [_sprayed, _insteadOf, _product];

    /// <summary>What is asked; <c>null</c>: nothing.</summary>
    /// <param name="parsed">The command line.</param>
    /// <param name="garden">The garden file, if one was named.</param>
    /// <param name="site">The site that is judged.</param>
    /// <param name="journal">The entries that hold; <c>null</c>: none is kept.</param>
    /// <exception cref="LogProblemException">It cannot be asked so.</exception>
    public SprayMove? Read(ParseResult parsed, GardenFile? garden, Site site, IReadOnlyList<JournalEntry>? journal)
    {
        var (sprayed, insteadOf) = (parsed.GetValue(_sprayed), parsed.GetValue(_insteadOf));
        if (sprayed is null)
            return insteadOf is null && parsed.GetValue(_product) is null
                ? null
                : throw new LogProblemException(
                    "--instead-of and --product belong to --if-sprayed: name the day on which you would have sprayed.");
        if (garden is null)
            throw new LogProblemException("--if-sprayed needs --garden: the garden file's products say how much rain takes a cover off.");
        var (on, from) = (Day("--if-sprayed", sprayed, site)!.Value, Day("--instead-of", insteadOf, site));
        return SprayMove.TryMake(site, journal ?? [], on, from, parsed.GetValue(_product), out var move, out var reason)
            ? move
            : throw new LogProblemException($"--if-sprayed: {reason}");
    }

    private static DateOnly? Day(string option, string? text, Site site)
    {
        if (text is null)
            return null;
        return JournalAmounts.Day(text, site.Units, out var fault) ?? throw new LogProblemException($"{option}: {fault}");
    }
}
