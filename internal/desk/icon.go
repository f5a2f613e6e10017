package desk

import "net/http"

const iconPath = "/desk.svg"

// mark is the sign of the desk beside the title of a tab: a line of cells that goes
// on.
const mark = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><rect width="16" height="16" rx="2" fill="#1d1c1a"/><g fill="#fdfcf9"><circle cx="3.5" cy="5" r="1.3"/><circle cx="3.5" cy="8" r="1.3"/><circle cx="3.5" cy="11" r="1.3"/><rect x="6.5" y="7" width="8" height="2"/></g></svg>`

// icon answers with the mark.
func icon(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", "private, max-age=3600")
	w.Write([]byte(mark))
}
