"""Folded documents kept on file, so that opening need not read the whole journal."""
