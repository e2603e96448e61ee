namespace BackyardSentinel.Wording;

public sealed class KeptSentenceTests
{
    private static readonly LocalTime Morning = new(new DateTime(2027, 3, 4, 9, 10, 0), TimeForm.Moment);

    public static TheoryData<Sentence> Sentences =>
    [
        (Sentence)$"the message is empty",
        (Sentence)$"nothing at path {new Name("air")}; the message has {Sentence.Names(["t", "h"])}",
        (Sentence)$"{3} values since {Morning}, at most {new Figure("4.5 mm")}: {(Sentence)$"a value of several is left out: {2}"}",
        ((Sentence)$"look at {new Name("the tree")}").AsWhole(),
        (Sentence)$"first {((Sentence)$"look at {Morning}").AsWhole()}",
        Sentence.InEnglish("no route to host"),
        (Sentence)$"{new Name("")}",
    ];

    [Theory]
    [MemberData(nameof(Sentences))]
    public void A_sentence_that_was_kept_reads_the_same_and_can_be_told_in_any_language(Sentence sentence)
    {
        var read = KeptSentence.Read(KeptSentence.Write(sentence));

        Assert.Equal((sentence.Text, sentence.IsWhole), (read.Text, read.IsWhole));
        Assert.Equal(sentence.Pattern, read.Pattern);
        Assert.Equal(Told(sentence), Told(read));

        static IEnumerable<object> Told(Sentence one) =>
            one.Fillings.SelectMany(filling => filling is Sentence inner ? Told(inner).Prepend(inner.Pattern) : [filling]);
    }

    [Fact]
    public void What_an_earlier_version_kept_is_a_pattern_without_holes()
    {
        var read = KeptSentence.Read("\"wet\" is not a number");

        Assert.Equal(("\"wet\" is not a number", "\"wet\" is not a number"), (read.Text, read.Pattern));
    }

    [Theory]
    [InlineData("\u0002")]
    [InlineData("\u0003")]
    [InlineData("a\u0002nb")]
    [InlineData("a\u0002xb\u0003")]
    [InlineData("a\u0002t2027-13-04T09:10:00Day\u0003")]
    [InlineData("a\u0002t2027-03-04T09:10:00Never\u0003")]
    [InlineData("a\u0002n\u0002nb\u0003\u0003")]
    [InlineData("a\u0003b")]
    public void A_text_that_nobody_wrote_so_is_taken_for_English_without_the_marks(string damaged)
    {
        var read = KeptSentence.Read(damaged);

        Assert.IsType<English>(Assert.Single(read.Fillings));
        Assert.DoesNotContain(read.Text, c => c is '\u0002' or '\u0003');
    }

    [Fact]
    public void A_name_with_the_marks_in_it_makes_no_sentence_of_its_own()
    {
        Sentence sentence = $"topic {new Name("a\u0003\u0002nb")}";

        Assert.Equal("topic a??nb", KeptSentence.Read(KeptSentence.Write(sentence)).Text);
    }
}
