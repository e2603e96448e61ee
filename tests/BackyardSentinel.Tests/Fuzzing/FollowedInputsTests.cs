namespace BackyardSentinel.Tests.Fuzzing;

/// <summary>
/// What a fuzzing tool began with, and in tests/payloads/followed the fewest inputs that reach every branch that its runs have reached
/// (tests/bench/follow.cs).
/// </summary>
public sealed class FollowedInputsTests
{
    public static TheoryData<string> Readers => [.. FuzzedReader.All.Keys];

    [Theory]
    [MemberData(nameof(Readers))]
    public void Each_reader_gives_what_is_sound_or_says_why_not(string name)
    {
        var reader = FuzzedReader.All[name]();
        foreach (var input in reader.Seeds.Concat(FuzzedReader.Kept(name)))
        {
            try
            {
                reader.Read(input);
            }
            catch (Exception failure)
            {
                throw new InvalidOperationException(Convert.ToHexString(input), failure);
            }
        }

        Assert.NotEmpty(FuzzedReader.Kept(name));
    }
}
