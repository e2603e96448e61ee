namespace BackyardSentinel.Network;

/// <summary>
/// Every fault of a line to each of those whom the service talks with lasts ten minutes of made time and ends: all that was to be
/// told is told, it is right again within two minutes, and both were said.
/// </summary>
public sealed class BadLineTests
{
    public static TheoryData<LineEnd, LineFault> Cells() =>
        [.. from end in Enum.GetValues<LineEnd>() from fault in Enum.GetValues<LineFault>() where fault > LineFault.None select (end, fault)];

    [Theory]
    [MemberData(nameof(Cells))]
    public async Task After_a_fault_of_the_line_all_is_right_within_two_minutes(LineEnd end, LineFault fault)
    {
        TimeSpan[] limits = end == LineEnd.Webhook ? [] : PauseTime.OfBrokers;
        var cell = await LineCell.RunAsync(end, fault, new CellTime(new PauseTime(limits)), 10);
        TestContext.Current.TestOutputHelper!.WriteLine($"{end} {fault}: {cell} {string.Join("\n  ", cell.Warnings)}");
        Console.WriteLine($"{end} {fault}: {cell}\n  {string.Join("\n  ", cell.Warnings)}");
    }
}
