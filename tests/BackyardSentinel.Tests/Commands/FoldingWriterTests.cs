using BackyardSentinel.Commands;

namespace BackyardSentinel.Tests.Commands;

/// <summary>Lines on a terminal. The expected lines are counted by hand.</summary>
public sealed class FoldingWriterTests
{
    [Fact]
    public void A_long_line_hangs_below_the_text_behind_its_labels()
    {
        Assert.Equal(
            """
              cover      none
              bud swell  a guess from usual
                         temperatures, since too few
                         were measured

            """.ReplaceLineEndings("\n"),
            Fold("  cover      none\n  bud swell  a guess from usual temperatures, since too few were measured\n"));
    }

    [Fact]
    public void A_line_without_labels_keeps_its_indent()
    {
        Assert.Equal("  One two three four five six seven\n  eight nine\n", Fold("  One two three four five six seven eight nine\n"));
        Assert.Equal("One two three four five six seven eight\nnine\n", Fold("One two three four five six seven eight nine\n"));
    }

    [Fact]
    public void A_line_that_just_fits_and_a_word_that_is_too_long_stay_whole()
    {
        var fits = new string('x', 40);
        var word = new string('y', 50);

        Assert.Equal($"{fits}\n", Fold($"{fits}\n"));
        Assert.Equal($"a\n{word}\nb\n", Fold($"a {word} b\n"));
        Assert.Equal($"label  {word}\n       b\n", Fold($"label  {word} b\n"));
    }

    [Fact]
    public void Nothing_is_folded_for_a_writer_that_is_no_terminal()
    {
        using var output = new StringWriter();

        Assert.Same(output, FoldingWriter.For(output));
    }

    private static string Fold(string text)
    {
        using var output = new StringWriter();
        using (var folding = new FoldingWriter(output, 40))
        {
            folding.Write(text);
            folding.Flush();
        }

        return output.ToString();
    }
}
