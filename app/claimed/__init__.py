"""What has been claimed in this journal, and what the whole list is worth."""
