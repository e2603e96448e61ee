namespace BackyardSentinel.Web.Access;

/// <summary>What a visitor of the page may do.</summary>
public enum Role
{
    /// <summary>Nothing: no key, or a wrong one.</summary>
    Stranger,

    /// <summary>Look at everything: the family.</summary>
    Reader,

    /// <summary>Write in the journal and answer alerts too: the grower.</summary>
    Writer,
}
