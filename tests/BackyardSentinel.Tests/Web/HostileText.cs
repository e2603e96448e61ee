namespace BackyardSentinel.Web;

/// <summary>Strings of our own with which text could become markup, script, address or template, by class.</summary>
internal static class HostileText
{
    /// <summary>The strings; each leaves a mark, <c>x55</c>, on what it would make.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        // Tags, whole, broken, nested, and those that end what stands round them.
        "<x55>",
        "<script>alert('x55')</script>",
        "<ScRiPt/x55>alert(1)</sCrIpT>",
        "<scr<script>ipt>alert(1)</script>",
        "</title><x55>",
        "</textarea><x55>",
        "</style><script>alert(1)</script>",
        "--><x55>",
        "<!--><x55>",
        "]]><x55>",
        "<svg><script>alert(1)</script></svg>",
        "</svg></figure><x55>",
        "<img src=x55 onerror=alert(1)>",
        "<iframe srcdoc='<script>alert(1)</script>'>",
        "<math><mi x55=1>",
        "<form action=/x55><button>",
        "<base href=//x55/>",
        "<meta http-equiv=refresh content='0;url=//x55/'>", "<link rel=stylesheet href=//x55/>", "<template><x55></template>", "<x55", "<",
        // Attributes: out of double quotes, single ones and none.
        "\" x55=\"",
        "' x55='",
        "\" onmouseover=\"alert(1)",
        "' autofocus onfocus='alert(1)",
        "\"><x55>",
        "'><x55>",
        " x55=1 ",
        "\" style=\"x55:1",
        "`x55`",
        // Addresses.
        "javascript:alert('x55')",
        "JaVa\tScript:alert(1)",
        "data:text/html,<script>alert(1)</script>",
        "vbscript:x55",
        "//x55/",
        "\\\\x55\\",
        // Signs that look like others, turn the text round, or are written by name.
        "\u202Ex55\u202C", "\uFF1Cx55\uFF1E", "&lt;x55&gt;", "&#60;x55&#62;", "\u2028alert(1)\u2029", "\u00A0\u200Bx55", "\uFEFF<x55>",
        // Templates of words, of Liquid, of Razor, of scripts; a spreadsheet's formula; a calendar's line.
        "{{ garden }}{% x55 %}",
        "{x55}",
        "{name}{day}{count}",
        "{0}{1}",
        "@Model.x55 @(1+1)",
        "${alert(1)}",
        "%3Cx55%3E",
        "=HYPERLINK(\"//x55\")",
        "END:VEVENT", "\\r\\nX-X55:1",
    ];

    /// <summary>All of them in one line.</summary>
    public static string Line { get; } = string.Join(
        ' ', All.Select(one => string.Concat(one.Select(sign => char.IsControl(sign) ? ' ' : sign))));
}
