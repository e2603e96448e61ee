using BackyardSentinel.Configuration;
using BackyardSentinel.Storage;
using BackyardSentinel.Wording;
using Microsoft.Data.Sqlite;

namespace BackyardSentinel.Commands.Examine;

/// <summary>What the store holds that checks ask for, read once; the store is only read.</summary>
internal sealed record StoreLook
{
    /// <summary>Readings before this are not asked for.</summary>
    public static readonly TimeSpan Window = TimeSpan.FromDays(2);

    /// <summary>There is a store.</summary>
    public bool IsThere { get; private init; }

    /// <summary>Why it cannot be read; <c>null</c>: it can.</summary>
    public Sentence? Fault { get; private init; }

    /// <summary>It cannot be read because it is damaged.</summary>
    public bool IsBroken { get; private init; }

    /// <summary>What is not as it was written.</summary>
    public IReadOnlyList<Sentence> Faults { get; private init; } = [];

    /// <summary>It was saved from a damaged one.</summary>
    public bool WasDamaged { get; private init; }

    public long Bytes { get; private init; }

    /// <summary>A service on this computer has it; <c>null</c>: not to be seen.</summary>
    public bool? IsHeld { get; private init; }

    /// <summary>When it was last copied by <c>backup</c>; <c>null</c>: never, as far as the store knows.</summary>
    public DateTimeOffset? LastBackup { get; private init; }

    /// <summary>The time of the first reading; <c>null</c>: there is none.</summary>
    public DateTimeOffset? First { get; private init; }

    /// <summary>Before this only hourly values are kept; <c>null</c>: readings of all of it.</summary>
    public DateTimeOffset? HourlyUntil { get; private init; }

    /// <summary>When something was last received; <c>null</c>: nothing ever.</summary>
    public DateTimeOffset? LastReceived { get; private init; }

    /// <summary>Names of the series that it ever had readings of.</summary>
    public IReadOnlyList<string> Series { get; private init; } = [];

    /// <summary>The readings of the last days by their series' name, in the order of their times.</summary>
    public IReadOnlyDictionary<string, List<StoredReading>> Recent { get; private init; } = new Dictionary<string, List<StoredReading>>();

    public IReadOnlyList<QuarantinedMessage> Refused { get; private init; } = [];

    public IReadOnlyList<OutboxRow> Outbox { get; private init; } = [];

    public IReadOnlyList<JournalRow> Journal { get; private init; } = [];

    public byte[]? Forecast { get; private init; }

    /// <summary>Reads it; whatever is wrong with it is told by what it answers.</summary>
    public static StoreLook At(GardenFile garden, DateTimeOffset now)
    {
        var path = garden.Store.Path;
        if (!File.Exists(path))
            return new StoreLook();
        try
        {
            using var store = SentinelStore.Reading(path);
            var names = store.SeriesNames;
            Dictionary<string, List<StoredReading>> recent = new(StringComparer.Ordinal);
            foreach (var reading in store.ReadSeason(now - Window))
            {
                if (!names.TryGetValue(reading.Series, out var name))
                    continue;
                if (!recent.TryGetValue(name, out var list))
                    recent.Add(name, list = []);
                list.Add(reading);
            }

            using var outbox = OutboxStore.Reading(path);
            using var journal = JournalBook.Reading(path);
            var received = store.LastReceivedUs();
            return new StoreLook
            {
                IsThere = true,
                Faults = [.. store.Faults().Select(Sentence.InEnglish)],
                WasDamaged = store.Damage() is not null,
                Bytes = new FileInfo(path).Length,
                IsHeld = StoreLock.IsHeld(path),
                LastBackup = store.LastBackup(),
                First = store.FirstTime(),
                HourlyUntil = store.HourlyUntil(),
                LastReceived = received == 0 ? null : DateTimeOffset.FromUnixTimeMilliseconds(received / 1000),
                Series = [.. names.Values],
                Recent = recent,
                Refused = store.Quarantine(),
                Outbox = outbox.Rows(),
                Journal = journal.Rows(),
                Forecast = store.LastForecast(),
            };
        }
        catch (StoreException failure)
        {
            return Unreadable(failure);
        }
        catch (SqliteException failure)
        {
            return Unreadable(StoreRefusal.Of(path, failure));
        }
    }

    private static StoreLook Unreadable(StoreException failure) =>
        new() { IsThere = true, Fault = Sentence.InEnglish(failure.Message), IsBroken = failure.IsDamage };
}
