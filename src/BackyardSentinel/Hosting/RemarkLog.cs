using BackyardSentinel.Ingest;
using ILogger = Serilog.ILogger;

namespace BackyardSentinel.Hosting;

/// <summary>Says what there is to say about messages, at most once an hour for each series and kind: sensors repeat themselves.</summary>
internal sealed class RemarkLog(TimeProvider time, ILogger log)
{
    private static readonly TimeSpan Quiet = TimeSpan.FromHours(1);
    private readonly Dictionary<(string Source, RemarkKind Kind), long> _said = [];

    /// <summary>Says once an hour why a message that holds no readings could not be taken.</summary>
    public void Refuse(string topic, string reason) => Say(topic, [new PayloadRemark(RemarkKind.Refused, null, reason)]);

    public void Say(string topic, List<PayloadRemark> remarks)
    {
        foreach (var remark in remarks)
        {
            var source = (remark.Series ?? topic, remark.Kind);
            if (_said.TryGetValue(source, out var at) && time.GetElapsedTime(at) < Quiet) continue;
            _said[source] = time.GetTimestamp();
            switch (remark.Kind)
            {
                case RemarkKind.Refused:
                    log.Warning("{Topic}: {Reason}. The message is kept aside.", topic, remark.Reason);
                    break;
                case RemarkKind.Note:
                    log.Information("{Topic}: {Reason}.", topic, remark.Reason);
                    break;
                default:
                    log.Debug("{Topic}: {Reason}.", topic, remark.Reason);
                    break;
            }
        }
    }
}
