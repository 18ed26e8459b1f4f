"""An old spreadsheet comes in: its columns matched, its lines looked at, all of it or nothing."""
