"""An old spreadsheet, read as its keeper meant it, and written as brews of the journal."""
