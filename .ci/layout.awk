# Finds words that leave the margins of a page or lie upon each other, in what
# "pdftotext -bbox" says. The stamp across a draft is no word of its text.
function attribute(name,   t) { t = $0; sub(".*" name "=\"", "", t); sub("\".*", "", t); return t + 0 }
function complain(what) { printf "page %d: %s\n", page, what; bad = 1 }
/<page / { page++; width = attribute("width"); height = attribute("height"); n = 0 }
/<word / {
  text = $0; sub(/^[^>]*>/, "", text); sub(/<\/word>.*/, "", text)
  left = attribute("xMin"); top = attribute("yMin"); right = attribute("xMax"); bottom = attribute("yMax")
  if (text ~ /^D?R?A?F?T?$/ && bottom - top > 60 && right - left > 60) next
  margin = 18 * 72 / 25.4; furniture = 30
  if (left < margin - 1 || right > width - margin + 1 || top < margin - furniture || bottom > height - margin + furniture)
    complain(sprintf("\"%s\" leaves the margin (%.1f to %.1f, %.1f to %.1f)", text, left, right, top, bottom))
  # Boxes are as high as the font's longest letters; what is inked is less.
  inset = 0.25 * (bottom - top)
  for (i = 1; i <= n; i++)
    if (left < R[i] - 0.8 && right > L[i] + 0.8 && top + inset < B[i] && bottom - inset > T[i])
      complain(sprintf("\"%s\" lies upon \"%s\" (%.1f, %.1f)", text, W[i], left, top))
  n++; L[n] = left; R[n] = right; T[n] = top + inset; B[n] = bottom - inset; W[n] = text
}
END { exit bad }
