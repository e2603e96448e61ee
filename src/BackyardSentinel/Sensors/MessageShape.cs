namespace BackyardSentinel.Sensors;

/// <summary>How the messages of a series arrange their values.</summary>
public enum MessageShape
{
    /// <summary>A bare number, or JSON where there is a path.</summary>
    Json,

    /// <summary>A SenML pack (RFC 8428); the path is the name of the record.</summary>
    Senml,

    /// <summary>One text with several values, with or without names.</summary>
    Text,
}

/// <summary>The words of the garden file.</summary>
public static class MessageShapeWords
{
    /// <summary>As the garden file spells it: <c>senml</c>.</summary>
    public static string Word(this MessageShape shape) => shape switch
    {
        MessageShape.Json => "json",
        MessageShape.Senml => "senml",
        MessageShape.Text => "text",
    };
}
