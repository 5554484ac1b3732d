package table

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"eke/cmd/job"
	"eke/cmd/words"
)

// bring puts a file that was dropped on the page into the folder, under its own
// name, or one beside it where another file has that.
func (b *bench) bring(name string, data []byte) (string, error) {
	ext := filepath.Ext(name)
	base := job.FileName(strings.TrimSuffix(filepath.Base(filepath.FromSlash(strings.ReplaceAll(name, `\`, "/"))), ext), map[string]bool{})
	if ext != "" {
		ext = "." + job.FileName(ext, map[string]bool{})
	}
	for n := 1; n <= 1000; n++ {
		name := base + ext
		if n > 1 {
			name = fmt.Sprintf("%s-%d%s", base, n, ext)
		}
		f, err := b.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			if was, err := b.root.ReadFile(name); err == nil && bytes.Equal(was, data) {
				return name, nil
			}
			continue
		}
		if err != nil {
			return "", fmt.Errorf("%s cannot be written: %w", name, errors.Unwrap(err))
		}
		_, err = f.Write(data)
		if err := errors.Join(err, f.Close()); err != nil {
			_ = b.root.Remove(name)
			return "", fmt.Errorf("%s cannot be written: %w", name, err)
		}
		return name, nil
	}
	return "", fmt.Errorf("there are too many files called %s; give it another name", name)
}

// brought takes a file that was dropped for what it was dropped as.
func (b *bench) brought(as, name string, data []byte) error {
	ext := strings.ToLower(filepath.Ext(name))
	photo := slices.Contains([]string{".jpg", ".jpeg", ".png", ".heic", ".heif"}, ext)
	switch {
	case as == "pattern" && ext != ".svg":
		return fmt.Errorf("%s: a pattern is an SVG drawing; save it as one", name)
	case as == "scraps" && photo:
		return b.trace(name, data)
	case as == "scraps" && !slices.Contains([]string{".svg", ".csv", ".tsv", ".txt"}, ext):
		return fmt.Errorf("%s: scraps come as .csv or .svg, or as a photograph (.jpg, .png, .heic)", name)
	case as != "pattern" && as != "scraps":
		return fmt.Errorf("%q is neither pattern nor scraps", as)
	}
	name, err := b.bring(name, data)
	if err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if as == "pattern" {
		b.pattern, b.wishes = name, b.keptWishes()[name]
	} else if !slices.Contains(b.scraps, name) {
		b.scraps = append(slices.Clone(b.scraps), name)
	}
	b.look()
	return nil
}

// leave takes a file off the table. It stays in the folder.
func (b *bench) leave(name string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.pattern == name {
		b.pattern, b.wishes = "", nil
	}
	b.scraps = slices.DeleteFunc(slices.Clone(b.scraps), func(s string) bool { return s == name })
	b.look()
}

// trace finds the scraps of a photograph, while the page says so, and lays them on
// the table.
func (b *bench) trace(name string, data []byte) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.task != nil {
		return errors.New("a photograph is being traced already; bring the next one when that is done")
	}
	name, err := b.bring(name, data)
	if err != nil {
		return err
	}
	b.task, b.said = &task{"Looking for the scraps in " + name, time.Now()}, ""
	b.work.Add(1)
	go func() {
		defer b.work.Done()
		pile, err := b.traced(b.context, name)
		b.mu.Lock()
		defer b.mu.Unlock()
		b.task = nil
		if err != nil {
			b.said = words.OneLine(err)
		}
		if pile != "" && !slices.Contains(b.scraps, pile) {
			b.scraps = append(slices.Clone(b.scraps), pile)
		}
		b.look()
		b.change(sectionBring)
	}()
	return nil
}

// traced writes the scraps of a photograph, as eke trace does, and gives the name of
// their file. An error with a name is about part of the picture.
func (b *bench) traced(ctx context.Context, name string) (pile string, err error) {
	result, err := job.Trace(ctx, b.path(name), "")
	if err != nil {
		return "", err
	}
	base := strings.TrimSuffix(name, filepath.Ext(name)) + "-scraps"
	pile = base + ".svg"
	for n := 2; ; n++ {
		if _, err := b.root.Stat(pile); errors.Is(err, fs.ErrNotExist) {
			break
		}
		pile = fmt.Sprintf("%s-%d.svg", base, n)
	}
	beside := b.path(strings.TrimSuffix(pile, ".svg"))
	one := job.Traced{Path: name, Result: result, Preview: beside + "-numbered.png", Flat: beside + "-flat.jpg"}
	if err := one.WriteOnGround(b.path(pile)); err != nil {
		return "", err
	}
	var problems []string
	for _, p := range result.Problems {
		problems = append(problems, p.String())
	}
	if len(result.Scraps) == 0 {
		pile = ""
		problems = append(problems, "no scrap was found")
	}
	if len(problems) > 0 {
		return pile, fmt.Errorf("%s: %s", name, strings.Join(problems, "; "))
	}
	return pile, nil
}

// readAll reads what was brought, as far as the guard lets it come.
func readAll(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("the file did not arrive whole: %w", err)
	}
	return data, nil
}
