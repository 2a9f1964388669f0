"""What passes between devices: history files, merging, rebasing, erasing, the spreadsheet."""
