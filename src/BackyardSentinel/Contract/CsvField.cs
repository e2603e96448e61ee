namespace BackyardSentinel.Contract;

/// <summary>A field of a CSV table (RFC 4180).</summary>
public static class CsvField
{
    /// <summary>
    /// The field as it is written. A text with which a spreadsheet would begin to reckon gets an apostrophe before it, by which
    /// spreadsheets know text; a negative number stays one.
    /// </summary>
    /// <param name="field">The field.</param>
    public static string Of(string field)
    {
        if (field is ['=' or '+' or '@' or '\t' or '\r', ..] or ['-', not (>= '0' and <= '9'), ..])
            field = "'" + field;
        return field.AsSpan().ContainsAny(",\"\r\n") ? $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : field;
    }
}
