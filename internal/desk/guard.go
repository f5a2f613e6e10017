package desk

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"
)

// csp is the content security policy of every answer: nothing from elsewhere,
// no script, no frame.
const csp = "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// ServeHTTP lets a request in or refuses it, and answers it.
func (d *Desk) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", csp)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	// Nothing is told to any other site. "no-referrer" would hide the Origin of
	// our own forms as well (Fetch standard, "append a request Origin header").
	h.Set("Referrer-Policy", "same-origin")
	r.Body = http.MaxBytesReader(w, r.Body, maxBody)
	q := &request{Request: r, desk: d}
	defer func() {
		if x := recover(); x != nil {
			d.fail(w, q, &problem{http.StatusInternalServerError, fmt.Sprintf("internal fault in this page: %v", x), "the other pages still work"})
		}
	}()
	if p := d.refused(q); p != nil {
		d.fail(w, q, p)
		return
	}
	if r.URL.Path == "/in" {
		d.enter(w, q)
		return
	}
	if r.URL.Path != stylePath && r.URL.Path != iconPath && !d.known(q) {
		d.fail(w, q, &problem{http.StatusForbidden, "this browser was not let in", "open the link that the desk printed in its window; it works once, and then the next one is printed there"})
		return
	}
	q.prefs = d.prefsOf(r)
	d.mux.ServeHTTP(w, r.WithContext(with(r.Context(), q)))
}

// refused says what is wrong with a request before anything is looked at: a
// foreign name for this machine (a page elsewhere that was led here), a foreign
// origin, or a method that no page has.
func (d *Desk) refused(r *request) *problem {
	hint := "open the link that the desk printed"
	foreign := &problem{http.StatusForbidden, "the request comes from another site", hint}
	switch site := r.Header.Get("Sec-Fetch-Site"); {
	case r.Host != d.host:
		return &problem{http.StatusMisdirectedRequest, "the desk does not answer under this name", hint}
	case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost:
		return &problem{http.StatusMethodNotAllowed, "no page takes this kind of request", hint}
	case len(r.URL.RequestURI()) > 4096:
		return &problem{http.StatusRequestURITooLong, "the address is too long", hint}
	case site == "cross-site" && r.URL.Path != "/in", site == "same-site":
		return foreign
	}
	origin := r.Header.Get("Origin")
	if own := "http://" + d.host; origin != own && (origin != "" || r.Method == http.MethodPost) {
		return foreign
	}
	return nil
}

// cookieName has the port in it, because cookies do not tell ports apart.
func (d *Desk) cookieName(what string) string {
	return "continuo-" + what + "-" + d.host[strings.LastIndexByte(d.host, ':')+1:]
}

func (d *Desk) setCookie(w http.ResponseWriter, what, value string, age int) {
	http.SetCookie(w, &http.Cookie{Name: d.cookieName(what), Value: value, Path: "/", MaxAge: age, HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

// enter takes the token of the link, once, and gives the browser a cookie for
// it. A browser that only fetches ahead does not use the link up.
func (d *Desk) enter(w http.ResponseWriter, r *request) {
	given := r.URL.Query().Get("token")
	d.mu.Lock()
	ok := r.Method == http.MethodGet && r.Header.Get("Sec-Purpose") == "" && hmac.Equal([]byte(given), []byte(d.link))
	session := token()
	if ok {
		d.link = token()
		d.sessions[session] = true
	}
	d.mu.Unlock()
	if !ok {
		d.fail(w, r, &problem{http.StatusForbidden, "this link was used already, or is not right", "the desk prints a new link in its window whenever one was used"})
		return
	}
	d.o.Say("link for another browser: " + d.Link())
	d.setCookie(w, "desk", session, 0)
	w.Header().Set("Referrer-Policy", "no-referrer")
	http.Redirect(w, r.Request, "/", http.StatusSeeOther)
}

// session is the token of the browser that asks, "" when it was not let in.
func (d *Desk) session(r *http.Request) string {
	c, err := r.Cookie(d.cookieName("desk"))
	if err != nil {
		return ""
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if !d.sessions[c.Value] {
		return ""
	}
	return c.Value
}

func (d *Desk) known(r *request) bool { return d.session(r.Request) != "" }

// formToken is the token that every form of a session carries.
func (d *Desk) formToken(r *http.Request) string {
	m := hmac.New(sha256.New, d.secret)
	m.Write([]byte(d.session(r)))
	return hex.EncodeToString(m.Sum(nil))
}

// form reads a posted form and wants its token.
func (d *Desk) form(r *request) *problem {
	if err := r.ParseForm(); err != nil {
		return &problem{http.StatusBadRequest, "the form cannot be read, or is too large", "go back and send it again"}
	}
	if !hmac.Equal([]byte(r.PostForm.Get("token")), []byte(d.formToken(r.Request))) {
		return &problem{http.StatusForbidden, "the form is not one of this desk", "load the page again and repeat what you did"}
	}
	return nil
}
