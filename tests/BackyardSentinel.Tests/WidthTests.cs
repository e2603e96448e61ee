namespace BackyardSentinel.Tests;

/// <summary>Lines of code fit the screen; what stands between triple quotes is text, and as long as it is.</summary>
public sealed class WidthTests
{
    private const int Widest = 140;

    [Theory]
    [InlineData("src")]
    [InlineData("tests")]
    public void No_line_of_code_is_wider_than_140_columns(string folder)
    {
        List<string> wide = [];
        foreach (var path in Directory.EnumerateFiles(Checkout.Path(folder), "*.cs*", SearchOption.AllDirectories)
            .Where(path => Path.GetExtension(path) is ".cs" or ".cshtml"))
        {
            var (number, isText) = (0, false);
            foreach (var line in File.ReadLines(path))
            {
                number++;
                var marks = line.Split("\"\"\"").Length - 1;
                if (line.Length > Widest && !isText && marks == 0)
                    wide.Add($"{System.IO.Path.GetRelativePath(Checkout.Root, path)}:{number}");
                isText ^= marks % 2 == 1;
            }
        }

        Assert.Empty(wide);
    }
}
