using System.Collections;

namespace BackyardSentinel.Storage;

/// <summary>Stored readings, read anew each time that somebody goes through them.</summary>
/// <param name="begin">Begins to read.</param>
internal sealed class SeasonReadings<T>(Func<ReadingsAhead<T>> begin) : IEnumerable<T>
{
    /// <inheritdoc/>
    public IEnumerator<T> GetEnumerator() => begin();

    /// <inheritdoc/>
    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
