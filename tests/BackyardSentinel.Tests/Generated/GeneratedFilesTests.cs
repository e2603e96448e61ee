namespace BackyardSentinel.Tests.Generated;

/// <summary>What is generated from the code is what the code says now.</summary>
public sealed class GeneratedFilesTests
{
    public static TheoryData<string> Paths => [.. GeneratedFile.All.Select(file => file.Path)];

    [Theory]
    [MemberData(nameof(Paths))]
    public void A_generated_file_is_what_the_code_says(string path) =>
        Assert.True(
            GeneratedFile.All.Single(file => file.Path == path).IsTrue(),
            $"{path} is not what the code says now. Mend it with: {GeneratedFile.Command}");
}
