package table

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/piece/scraps"
	"eke/svg/report"
	"eke/svg/sheets"
)

//go:embed page
var pageFiles embed.FS

func (b *bench) routes() http.Handler {
	page, err := fs.Sub(pageFiles, "page")
	if err != nil {
		panic(err)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { http.ServeFileFS(w, r, page, "table.html") })
	mux.Handle("GET /page/", http.StripPrefix("/page/", http.FileServerFS(page)))
	mux.HandleFunc("GET /page/report.css", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		_, _ = w.Write([]byte(report.Style()))
	})
	mux.HandleFunc("GET /state", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		_ = json.NewEncoder(w).Encode(b.state())
	})
	mux.HandleFunc("GET /section/{name}", b.section)
	mux.HandleFunc("GET /out/{name...}", b.written)
	mux.HandleFunc("GET /pages", b.pages)
	mux.HandleFunc("POST /bring", b.takeIn)
	b.handRoutes(mux)
	mux.HandleFunc("GET /drawing", b.drawing)
	mux.HandleFunc("POST /drawing", b.redrawn)
	mux.HandleFunc("GET /ground", b.ground)
	does := func(path string, do func(r *http.Request) error) {
		mux.HandleFunc("POST "+path, func(w http.ResponseWriter, r *http.Request) {
			err := r.ParseForm()
			if err == nil {
				err = do(r)
			}
			answer(w, err)
		})
	}
	does("/leave", func(r *http.Request) error { b.leave(r.PostForm.Get("name")); return nil })
	does("/tell", b.tell)
	does("/wish", b.wish)
	does("/unwish", func(r *http.Request) error { return b.unwish(r.PostForm.Get("wish")) })
	does("/stop", func(r *http.Request) error { b.stop(); return nil })
	does("/plan", func(r *http.Request) error {
		asked, err := askedFor(r)
		if err != nil {
			return err
		}
		return b.start(asked)
	})
	return mux
}

// noFile is said of a file of the plan that is not in its folder.
const noFile = "there is no such file of the plan; if it was taken out of the folder, find plans again on the table"

// answer says that a thing is done, or why it is not.
func answer(w http.ResponseWriter, err error) {
	var large *http.MaxBytesError
	switch {
	case err == nil:
		w.WriteHeader(http.StatusNoContent)
	case errors.As(err, &large):
		refuse(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("that is more than %d MB; bring a smaller file", mostBytes>>20))
	default:
		refuse(w, http.StatusUnprocessableEntity, words.OneLine(err))
	}
}

func (b *bench) takeIn(w http.ResponseWriter, r *http.Request) {
	data, err := readAll(r.Body)
	if err == nil {
		err = b.brought(r.URL.Query().Get("as"), r.URL.Query().Get("name"), data)
	}
	answer(w, err)
}

// askedFor is what a page asks of a search, by the same rules as the flags of eke plan.
func askedFor(r *http.Request) (job.Plan, error) {
	p := job.Usual()
	form := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	var err error
	number := func(name, what string, lo, hi int, to *int) {
		n, bad := strconv.Atoi(form(name))
		if bad != nil || n < lo || n > hi {
			err = errors.Join(err, fmt.Errorf("%s: give a whole number from %d to %d", what, lo, hi))
		}
		*to = n
	}
	length := func(name, what string, most float64, to *float64) {
		mm, bad := scraps.ParseLength(form(name))
		if bad != nil || !(mm >= 0 && mm <= most) {
			err = errors.Join(err, fmt.Errorf("%s: give a length from 0 mm to %g mm, such as %g mm", what, most, *to))
		}
		*to = mm
	}
	seconds := 0
	number("seconds", "time", 1, 3600, &seconds)
	p.Time = time.Duration(seconds) * time.Second
	number("options", "options", 1, 50, &p.Keep)
	if form("seams") != "" {
		number("seams", "most added seams", 0, 1000, &p.MaxSeams)
	}
	length("allowance", "allowance of a new seam", 100, &p.AllowanceMM)
	length("gap", "gap", 500, &p.GapMM)
	switch s := form("sort"); s {
	case "seams", "length", "intrusion":
		p.Sort = s
	default:
		err = errors.Join(err, errors.New("order: give seams, length or intrusion"))
	}
	return p, err
}

// written is a file of the plan, as it lies in the folder. It is shown and runs nothing.
func (b *bench) written(w http.ResponseWriter, r *http.Request) {
	name := path.Clean("/" + r.PathValue("name"))[1:]
	switch ext := filepath.Ext(name); ext {
	case ".html", ".svg", ".json":
		w.Header().Set("Content-Security-Policy", inert)
	default:
		refuse(w, http.StatusNotFound, noFile)
		return
	}
	f, err := b.root.Open(filepath.FromSlash(path.Join(filepath.ToSlash(b.out), name)))
	if err != nil {
		refuse(w, http.StatusNotFound, noFile)
		return
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		refuse(w, http.StatusNotFound, noFile)
		return
	}
	if r.URL.Query().Has("save") {
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", filepath.Base(name)))
	}
	http.ServeContent(w, r, filepath.Base(name), info.ModTime(), f)
}

// pages are the pages to print of an option, as eke sheets writes them.
func (b *bench) pages(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	data, name, err := b.printed(r, q.Get("option"), q.Get("what"), q.Get("paper"))
	if err != nil {
		refuse(w, http.StatusUnprocessableEntity, words.OneLine(err))
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", name))
	_, _ = w.Write(data)
}

func (b *bench) printed(r *http.Request, option, what, paper string) ([]byte, string, error) {
	if n, err := strconv.Atoi(option); err != nil || n < 1 {
		return nil, "", fmt.Errorf("there is no option %q", option)
	}
	p, err := sheets.ParsePaper(paper)
	if err != nil {
		return nil, "", fmt.Errorf("paper: %w", err)
	}
	o := sheets.Options{Paper: p, MarginMM: sheets.DefaultMarginMM, OverlapMM: sheets.DefaultOverlapMM}
	if err := o.Validate(); err != nil {
		return nil, "", err
	}
	if _, err := b.root.Stat(filepath.Join(b.out, "option-"+option)); err != nil {
		return nil, "", errors.New(noFile)
	}
	print, err := job.Pages{Paper: paper, Layout: what == "layout", Each: what == "each"}.Open(filepath.Join(b.folder, b.out, "option-"+option), nil)
	if err != nil {
		return nil, "", err
	}
	var out bytes.Buffer
	if _, err := sheets.Write(r.Context(), &out, print.Title, print.Shapes, o); err != nil {
		return nil, "", err
	}
	return out.Bytes(), strings.ReplaceAll(print.Name, "/", "-"), nil
}
