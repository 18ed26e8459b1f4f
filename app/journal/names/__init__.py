"""Names that are typed, of tasters, beans and roasters: changing them, and making two one."""
