namespace BackyardSentinel.Contract;

/// <summary>RFC 4180 for commas and quotes; OWASP's "CSV Injection" for what spreadsheets take for a formula.</summary>
public sealed class CsvFieldTests
{
    [Theory]
    [InlineData("white-peach", "white-peach")]
    [InlineData("-3.2", "-3.2")]
    [InlineData("", "")]
    [InlineData("a, b", "\"a, b\"")]
    [InlineData("5\" pipe", "\"5\"\" pipe\"")]
    [InlineData("=1+1", "'=1+1")]
    [InlineData("=HYPERLINK(\"http://x\",\"y\")", "\"'=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\"")]
    [InlineData("+1+1", "'+1+1")]
    [InlineData("@SUM(A1)", "'@SUM(A1)")]
    [InlineData("-A1", "'-A1")]
    [InlineData("\t=1", "'\t=1")]
    public void A_field_is_written_so_that_no_spreadsheet_reckons_with_it(string field, string written) =>
        Assert.Equal(written, CsvField.Of(field));
}
