namespace BackyardSentinel.Tests.Generated;

/// <summary>The manual page, made from the program's commands.</summary>
internal static class ManPage
{
    /// <summary>The file.</summary>
    public static GeneratedFile File { get; } = new("deploy/backyard-sentinel.1", _ => Write());

    private static string Write()
    {
        var page = new StringBuilder();
        page.Append(
            $"""
            .\" Made from the program's commands by: {GeneratedFile.Command}
            .TH BACKYARD\-SENTINEL 1 "" "backyard\-sentinel" "User commands"
            .SH NAME
            backyard\-sentinel \- watches a garden's weather for peach leaf curl
            .SH SYNOPSIS
            .B backyard\-sentinel
            .I command
            .RI [ option ]...
            .SH DESCRIPTION
            Listens to garden sensors over MQTT and keeps every reading; counts chill and warmth to the bud stages; judges wet spells
            and infection windows as they build; plans dormant sprays and keeps the copper ledger; tells the phone what needs doing.
            .PP
            The product's label is the law, and local rules and licensed advice come before anything a program says.
            .SH EXAMPLES

            """);
        foreach (var (does, line) in Examples)
            page.Append($".TP\n.B {Text("backyard-sentinel " + line)}\n{Text(does)}\n");
        page.Append(".SH COMMANDS\n");
        foreach (var one in CommandTree.All.Skip(1))
            WriteCommand(one, page);
        page.Append(
            """
            .SH FILES
            .TP
            .I /etc/backyard\-sentinel/garden.yaml
            The garden of the installed service, which every command takes where neither
            .B \-\-garden
            nor a file config/garden.yaml in the working directory says otherwise.
            .TP
            .I /var/lib/backyard\-sentinel
            Its store, for members of the group backyard\-sentinel.
            .SH EXIT STATUS
            0: done. 1: done, with findings. 2: bad usage or input. 78: the garden file has errors, or no restart mends the store.

            """);
        return page.ToString();
    }

    private static readonly (string Does, string Line)[] Examples =
    [
        ("Watches an invented garden for two minutes.", "run --demo"),
        ("Makes a garden file by asking, and by listening to your sensors.", "set-up"),
        ("Says what is due in the coming ten days, and when it can be done.", "plan"),
        ("Writes down that the buds of a planting swell.", "journal add stage swell --planting white-peach"),
        ("Tries the way to the phone.", "alert test"),
    ];

    private static void WriteCommand(CommandTree one, StringBuilder page)
    {
        var arguments = string.Concat(
            one.Command.Arguments.Where(each => !each.Hidden).Select(each => $" {each.HelpName ?? each.Name.ToUpperInvariant()}"));
        page.Append($".SS {Text(one.Words + arguments)}\n{Text(one.Command.Description)}\n");
        foreach (var argument in one.Command.Arguments.Where(each => each is { Hidden: false, Description.Length: > 0 }))
            page.Append($".TP\n.I {Text(argument.HelpName ?? argument.Name.ToUpperInvariant())}\n{Text(argument.Description)}\n");
        // What every command has is told once, at the commands that have no more.
        foreach (var option in one.Command.Options.Where(each => each is { Hidden: false }))
        {
            var named = option.HelpName ?? option.Name.TrimStart('-').ToUpperInvariant();
            var value = CommandTree.TakesValue(option) ? $" \\fI{Text(named)}\\fR" : "";
            page.Append($".TP\n\\fB{Text(string.Join(", ", CommandTree.Spellings(option)))}\\fR{value}\n{Text(option.Description)}\n");
        }
    }

    /// <summary>Text for roff: its minus signs can be copied, and no line of it is taken for a request.</summary>
    private static string Text(string? text)
    {
        var escaped = (text ?? "").Replace("\\", "\\e", StringComparison.Ordinal).Replace("-", "\\-", StringComparison.Ordinal);
        return escaped is ['.' or '\'', ..] ? "\\&" + escaped : escaped;
    }
}
