using System.Collections.Concurrent;

namespace BackyardSentinel.Simulation;

/// <summary>One message of a sensor, with what must become of it.</summary>
/// <param name="device">The sensor.</param>
/// <param name="payload">What it says.</param>
/// <param name="timeMs">The time it names, ms since 1970 UTC; <c>null</c>: none.</param>
/// <param name="value">The value; <c>null</c>: it is nonsense.</param>
/// <param name="mayBeRefused">Its value or time cannot be.</param>
internal sealed class SimulatedMessage(SimulatedDevice device, string payload, long? timeMs, double? value, bool mayBeRefused)
{
    public SimulatedDevice Device => device;

    public string Payload => payload;

    public long? TimeMs => timeMs;

    public double? Value => value;

    public bool MayBeRefused => mayBeRefused;

    /// <summary>The service took it up while its clock was wrong, so that it could not know the message's time for what it is.</summary>
    public bool CameWithClockWrong { get; set; }

    /// <summary>When the service got it or one of its copies, each time it did.</summary>
    public List<DateTimeOffset> Came { get; private init; } = [];

    /// <summary>The broker has lost it.</summary>
    public bool IsLost { get; set; }

    /// <summary>The service has said that it is safe.</summary>
    public bool IsAcknowledged { get; set; }

    /// <summary>When the service made it or one of its copies safe, each time it said so.</summary>
    public List<DateTimeOffset> Safe { get; private init; } = [];

    /// <summary>It is the broker's stored copy.</summary>
    public bool IsRetained { get; private init; }

    /// <summary>The same once more.</summary>
    /// <param name="isRetained">As the broker's stored copy.</param>
    public SimulatedMessage Copy(bool isRetained = false) =>
        new(device, payload, timeMs, value, mayBeRefused) { IsRetained = isRetained, Came = Came, Safe = Safe };
}

/// <summary>
/// A broker as seen by one subscriber with a lasting session: it keeps what is not acknowledged, up to a limit, delivers it again with
/// the same number after a lost connection, and can lose its memory or go back to an older one. OASIS MQTT 5.0, 4.3.2 and 4.4.
/// </summary>
/// <param name="keeps">So many messages wait at most.</param>
internal sealed class SimulatedBroker(int keeps)
{
    private const int AtOnce = 20;
    private readonly List<(int Id, SimulatedMessage Message)> _inFlight = [];
    private readonly List<(int Id, SimulatedMessage Message)> _again = [];
    private readonly ConcurrentQueue<(int Connection, (int Id, SimulatedMessage Message) What)> _answers = [];
    private readonly Queue<SimulatedMessage> _queue = [];
    private (List<(int, SimulatedMessage)> InFlight, List<SimulatedMessage> Queue, int Id, KeyValuePair<string, string>[] Retained) _saved =
        ([], [], 0, []);

    private int _id, _connection;
    private bool _knows, _isConnected, _goesOn;
    private int _waiting;

    /// <summary>Nothing waits.</summary>
    public bool IsEmpty => _inFlight.Count + _queue.Count == 0;

    /// <summary>The last retained message of each of the service's topics.</summary>
    public ConcurrentDictionary<string, string> Retained { get; } = [];

    /// <summary>A sensor has sent something.</summary>
    public void Take(SimulatedMessage message)
    {
        if (!_knows || _queue.Count >= keeps)
        {
            message.IsLost = true;
            return;
        }

        _queue.Enqueue(message);
    }

    public void Connect(bool isNewProcess)
    {
        // The service counts its connections from each start on.
        _connection = isNewProcess ? 1 : _connection + 1;
        (_isConnected, _goesOn, _knows) = (true, _knows, true);
        _waiting = _inFlight.Count + _queue.Count;
        if (!_goesOn)
            _id = 0;
        _again.Clear();
        _again.AddRange(_inFlight);
    }

    public void Disconnect() => _isConnected = false;

    /// <summary>Takes the acknowledgements that have come.</summary>
    /// <param name="areLost">They do not come.</param>
    public void Hear(bool areLost)
    {
        while (_answers.TryDequeue(out var answer))
        {
            answer.What.Message.IsAcknowledged = true;
            if (!areLost && _isConnected && answer.Connection == _connection)
                _inFlight.Remove(answer.What);
        }
    }

    /// <summary>It writes down what it knows.</summary>
    public void Save() => _saved = ([.. _inFlight], [.. _queue], _id, [.. Retained]);

    /// <summary>It loses power, and knows again what it had written down.</summary>
    public void LosePower()
    {
        _isConnected = false;
        HashSet<SimulatedMessage> known = [.. _saved.InFlight.Select(one => one.Item2), .. _saved.Queue];
        foreach (var message in _inFlight.Select(one => one.Message).Concat(_queue).Where(message => !known.Contains(message)))
            message.IsLost = true;
        _inFlight.Clear();
        _queue.Clear();
        _inFlight.AddRange(_saved.InFlight);
        foreach (var message in _saved.Queue)
            _queue.Enqueue(message);
        _id = _saved.Id;
        Retained.Clear();
        foreach (var (topic, payload) in _saved.Retained)
            Retained[topic] = payload;
    }

    /// <summary>It has forgotten the session, and what it had retained.</summary>
    public void Forget()
    {
        _isConnected = false;
        foreach (var message in _inFlight.Select(one => one.Message).Concat(_queue).Where(message => !message.IsAcknowledged))
            message.IsLost = true;
        _inFlight.Clear();
        _queue.Clear();
        (_knows, _id) = (false, 0);
        Retained.Clear();
        Save();
    }

    /// <summary>What it sends now.</summary>
    /// <param name="most">At most so many.</param>
    /// <param name="onTaken">Told what the service has made safe.</param>
    public IEnumerable<(SimulatedMessage Message, ArrivedMessage Arrived)> Deliver(int most, Action<SimulatedMessage> onTaken)
    {
        var connection = _connection;
        for (var sent = 0; sent < most && _isConnected; sent++)
        {
            var again = _again.Count > 0;
            (int Id, SimulatedMessage Message) next;
            if (again)
            {
                next = _again[0];
                _again.RemoveAt(0);
            }
            else if (_queue.Count > 0 && _inFlight.Count < AtOnce)
            {
                _id = (_id % 65_535) + 1;
                next = (_id, _queue.Dequeue());
                _inFlight.Add(next);
            }
            else
            {
                yield break;
            }

            var delivery = new BrokerDelivery(connection, _goesOn, next.Id, _waiting-- > 0);
            yield return (next.Message, new ArrivedMessage(
                next.Message.Device.Topic,
                Encoding.UTF8.GetBytes(next.Message.Payload),
                next.Message.IsRetained,
                redelivered: again,
                acknowledge: _ =>
                {
                    _answers.Enqueue((connection, next));
                    onTaken(next.Message);
                    return Task.CompletedTask;
                },
                delivery: delivery));
        }
    }
}
