namespace BackyardSentinel.Alerting;

/// <summary>Occasions that wait for their moment, and the decisions made since they were last asked for.</summary>
internal sealed class WaitingRoom
{
    private readonly List<Guest> _guests = [];
    private readonly List<Decision> _decisions = [];

    /// <summary>The earliest moment at which one is due; <c>null</c> when none waits.</summary>
    public DateTimeOffset? NextDue => _guests.Count == 0 ? null : _guests.Min(guest => guest.Due);

    /// <summary>Lets an occasion wait.</summary>
    public Hold Seat(Guest guest, string reason)
    {
        _guests.Add(guest);
        return new Hold(guest.Occasion, guest.Due, reason);
    }

    /// <summary>Writes a decision down until it is asked for.</summary>
    public void Note(Decision decision) => _decisions.Add(decision);

    /// <summary>Gives the decisions noted and forgets them.</summary>
    public IReadOnlyList<Decision> TakeDecisions()
    {
        Decision[] taken = [.. _decisions];
        _decisions.Clear();
        return taken;
    }

    /// <summary>Takes out those for which the condition holds.</summary>
    public List<Guest> Take(Predicate<Guest> which)
    {
        var taken = _guests.FindAll(which);
        _guests.RemoveAll(which);
        return taken;
    }

    /// <summary>Drops those for which the condition holds, each with the reason.</summary>
    /// <returns>The occasions dropped.</returns>
    public List<Occasion> Drop(Predicate<Occasion> which, DropReason reason)
    {
        var dropped = Take(guest => which(guest.Occasion)).ConvertAll(guest => guest.Occasion);
        dropped.ForEach(occasion => Note(new Drop(occasion, reason)));
        return dropped;
    }

    /// <summary>One that waits.</summary>
    /// <param name="Occasion">The occasion.</param>
    /// <param name="Due">When it is looked at again, a whole minute, UTC.</param>
    /// <param name="Settled">Its first wait is over.</param>
    /// <param name="Morning">It goes out with the morning's summary.</param>
    public sealed record Guest(Occasion Occasion, DateTimeOffset Due, bool Settled = false, bool Morning = false);
}
