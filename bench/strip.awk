# The plain tool of comparison: drop line 1 of each page, join the files.
# It knows nothing of titles, contents, turns, paragraphs, and keeps no account.
{
    if (sub(/^\f/, "")) { first = 1 }
    if (FNR == 1) { first = 1 }
    if (first) { first = 0; next }
    print
}
