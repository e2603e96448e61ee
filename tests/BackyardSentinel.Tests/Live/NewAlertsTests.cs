using BackyardSentinel.Alerting;
using BackyardSentinel.Delivery;
using BackyardSentinel.Live;

namespace BackyardSentinel.Tests.Live;

/// <summary>What becomes of alerts that are found late, as after a long time off.</summary>
public sealed class NewAlertsTests
{
    private static readonly DateTimeOffset Now = new(2026, 4, 12, 20, 0, 0, TimeSpan.Zero);

    private readonly NewAlerts _alerts = new(
        new AlertOutbox([new ReceiverSettings { Id = "phone" }], alert => new AlertText("title", "text").For(alert)), []);

    [Fact]
    public void A_return_is_told_only_where_somebody_was_told_of_the_silence()
    {
        Assert.Equal([(OutboxState.ExpiredReported, "its time had passed when it was first seen")], Rows(Silent(Now.AddDays(-3))));
        Assert.Equal([(OutboxState.ExpiredReported, "nobody had been told of the silence that it ends")], Rows(Back(Now.AddDays(-3))));

        Assert.Equal([(OutboxState.Waiting, null)], Rows(Silent(Now.AddHours(-1))));
        Assert.Equal([(OutboxState.Waiting, null)], Rows(Back(Now.AddHours(-1))));
    }

    [Fact]
    public void A_return_together_with_other_news_is_told()
    {
        Assert.Equal(OutboxState.ExpiredReported, Assert.Single(Rows(Silent(Now.AddDays(-3)))).State);
        var disk = new DiskLow(Now, 100);

        Assert.Equal([(OutboxState.Waiting, null)], Rows(Back(Now.AddDays(-3)), disk));
    }

    private static SensorsSilent Silent(DateTimeOffset at) => new("yard", at, 3, at.AddHours(-3));

    private static SensorsBack Back(DateTimeOffset silentAt) => new("yard", Now, silentAt.AddHours(-3), 3, 0);

    private List<(OutboxState State, string? Why)> Rows(params Occasion[] occasions)
    {
        List<OutboxRow> rows = [];
        var alert = occasions is [var one] ? Alert.Of(one, one.At) : Alert.Of(occasions, occasions[0].At);
        _alerts.Tell([alert], new Dictionary<string, SiteWatch>(), Now, rows);
        return [.. rows.Select(row => (row.State, row.LastAnswer))];
    }
}
