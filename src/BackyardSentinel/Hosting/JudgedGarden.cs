using BackyardSentinel.Live;
using BackyardSentinel.Sensors;
using BackyardSentinel.Storage;

namespace BackyardSentinel.Hosting;

/// <summary>A garden whose stored season has been judged, ready to go on.</summary>
/// <param name="Store">Its store, which is sound.</param>
/// <param name="Map">The map of payloads.</param>
/// <param name="Beside">What runs beside the loop; <c>null</c>: sensors only.</param>
/// <param name="Loop">The loop.</param>
public sealed record JudgedGarden(SentinelStore Store, PayloadMap Map, GardenServices? Beside, SentinelLoop Loop) : IDisposable
{
    /// <summary>
    /// Judges the season of a store, which is looked over meanwhile. Where that shows a fault, whatever came of it is put away, and
    /// what can be saved of the season is judged.
    /// </summary>
    /// <param name="path">The store's file; the caller holds its <see cref="StoreLock"/>.</param>
    /// <param name="from">The season is read from this moment on; <c>null</c>: all of it is.</param>
    /// <param name="time">The clock.</param>
    /// <param name="onDamage">Told what became of a damaged store.</param>
    /// <param name="judge">Judges the season of a store and makes what goes on with it; it writes nothing.</param>
    /// <exception cref="StoreException">The store cannot be used.</exception>
    public static JudgedGarden Of(
        string path, DateTimeOffset? from, TimeProvider time, Action<StoreDamage> onDamage, Func<SentinelStore, JudgedGarden> judge) =>
        IfSound(path, StoreRescue.OpenToJudge(path, from, time, onDamage), judge)
        ?? IfSound(path, StoreRescue.Open(path, from, time, onDamage), judge)!; // That one has been looked over.

    /// <inheritdoc/>
    public void Dispose()
    {
        Beside?.Dispose();
        Store.Dispose();
    }

    /// <summary>What came of a store; <c>null</c>: it is damaged, and closed.</summary>
    private static JudgedGarden? IfSound(string path, SentinelStore store, Func<SentinelStore, JudgedGarden> judge)
    {
        JudgedGarden? garden = null;
        var isSound = false;
        try
        {
            garden = OrRefused(path, store, judge);
            isSound = store.IsSound();
        }
        catch (Exception) when (!store.IsSound())
        {
            // Whatever a damaged store leads to, the damage is what is told.
        }
        finally
        {
            if (!isSound)
            {
                garden?.Beside?.Dispose();
                store.Dispose();
            }
        }

        return isSound ? garden : null;
    }

    /// <summary>A store whose pages fit together may still hold a time or a row that nothing of ours has written.</summary>
    private static JudgedGarden OrRefused(string path, SentinelStore store, Func<SentinelStore, JudgedGarden> judge)
    {
        try
        {
            return judge(store);
        }
        catch (Exception failure)
            when (failure is ArgumentException or OverflowException or InvalidCastException or FormatException
                || StoreRefusal.IsDamage(failure))
        {
            throw new StoreException(
                $"The store {path} holds something that cannot be: {failure.Message.TrimEnd('.')}. It is damaged; "
                    + "nothing in it was changed. Move the file aside to start a new one, or put a backup in its place.",
                failure,
                isLasting: true);
        }
    }
}
