using BackyardSentinel.Scouting;

namespace BackyardSentinel.Tests.Scouting;

// The bands are assumed; what is advised follows extension texts of California, Utah, Illinois, Hamburg and Bavaria.
public class ScoutingAdviceTests
{
    private static string Advice(int curled, SymptomStage? symptom) =>
        string.Join(
            '\n',
            ScoutingAdvice.For(
                new ScoutEntry(1, "south-wall", "white-peach", new DateOnly(2027, 5, 1), 20, curled, symptom)));

    [Theory]
    [InlineData(20, 0, SeverityBand.None)]
    [InlineData(20, 1, SeverityBand.Trace)]
    [InlineData(20, 2, SeverityBand.Light)]
    [InlineData(20, 5, SeverityBand.Light)]
    [InlineData(20, 6, SeverityBand.Moderate)]
    [InlineData(20, 10, SeverityBand.Moderate)]
    [InlineData(20, 11, SeverityBand.Heavy)]
    [InlineData(20, 20, SeverityBand.Heavy)]
    [InlineData(1000, 51, SeverityBand.Light)]
    [InlineData(2_000_000_000, 2_000_000_000, SeverityBand.Heavy)]
    public void Curled_shoots_fall_into_bands(int shoots, int curled, SeverityBand band) =>
        Assert.Equal(band, ScoutingAdvice.BandOf(shoots, curled));

    [Theory]
    [InlineData(0, 0)]
    [InlineData(20, 21)]
    [InlineData(20, -1)]
    public void Counts_that_cannot_be_are_bugs(int shoots, int curled) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => ScoutingAdvice.BandOf(shoots, curled));

    [Theory]
    [InlineData(SymptomStage.Puckered)]
    [InlineData(SymptomStage.Curled)]
    public void A_light_attack_may_be_picked_before_the_white_bloom_and_the_disagreement_is_told(SymptomStage symptom)
    {
        Assert.Contains("can be picked from the ground now, if you wish", Advice(3, symptom), StringComparison.Ordinal);
        Assert.Contains("Sources disagree", Advice(3, symptom), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3, SymptomStage.WhiteBloom)]
    [InlineData(3, SymptomStage.Dropping)]
    [InlineData(12, SymptomStage.Puckered)]
    [InlineData(12, null)]
    public void Nobody_is_told_to_pick_too_late_or_too_much(int curled, SymptomStage? symptom) =>
        Assert.DoesNotContain("can be picked", Advice(curled, symptom), StringComparison.Ordinal);

    [Theory]
    [InlineData(SymptomStage.Puckered)]
    [InlineData(SymptomStage.WhiteBloom)]
    [InlineData(SymptomStage.Dropping)]
    public void A_tree_that_is_hit_hard_is_not_stripped_but_cared_for(SymptomStage symptom)
    {
        var advice = Advice(15, symptom);
        Assert.Contains("Do not strip", advice, StringComparison.Ordinal);
        foreach (var word in new[] { "Thin the fruit", "Water it", "nitrogen", "mulch" })
            Assert.Contains(word, advice, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3, SymptomStage.WhiteBloom, "The white bloom sheds spores: it is too late for picking")]
    [InlineData(12, SymptomStage.WhiteBloom, "The white bloom sheds spores: it is too late for picking")]
    [InlineData(3, SymptomStage.Dropping, "Leaves drop by themselves now")]
    [InlineData(3, null, "Look how far it is: picking makes sense only before the white bloom shows.")]
    [InlineData(6, null, "Do not strip a tree that is hit this hard")]
    [InlineData(12, null, "Do not strip a tree that is hit this hard")]
    [InlineData(12, SymptomStage.Curled, "Do not strip a tree that is hit this hard")]
    public void What_is_seen_decides_what_is_said_first(int curled, SymptomStage? symptom, string first) =>
        Assert.StartsWith(first, Advice(curled, symptom), StringComparison.Ordinal);

    [Theory]
    [InlineData(5, SymptomStage.Curled, false)]
    [InlineData(6, SymptomStage.Curled, true)]
    [InlineData(1, SymptomStage.Dropping, true)]
    [InlineData(1, SymptomStage.WhiteBloom, false)]
    public void A_tree_is_to_be_cared_for_from_a_moderate_attack_on_and_where_leaves_drop(int curled, SymptomStage? symptom, bool care) =>
        Assert.Equal(care, Advice(curled, symptom).EndsWith(ScoutingAdvice.CareAfterDefoliation[^1].Text, StringComparison.Ordinal));

    [Theory]
    [InlineData(1, 1, SeverityBand.Heavy)]
    [InlineData(1000, 50, SeverityBand.Trace)]
    [InlineData(1000, 250, SeverityBand.Light)]
    [InlineData(1000, 251, SeverityBand.Moderate)]
    [InlineData(1000, 500, SeverityBand.Moderate)]
    [InlineData(1000, 501, SeverityBand.Heavy)]
    public void A_band_ends_with_its_last_share(int shoots, int curled, SeverityBand band) =>
        Assert.Equal(band, ScoutingAdvice.BandOf(shoots, curled));

    [Fact]
    public void No_curl_asks_for_another_look_only() => Assert.StartsWith("No curl", Advice(0, null), StringComparison.Ordinal);
}
