"""Names of tasters, beans and roasters: renaming them, and making two one."""
