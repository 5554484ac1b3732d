package table

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"eke/allowance"
	"eke/cmd/job"
	"eke/piece"
	"eke/split/plan"
	"eke/split/wish"
	"eke/svg/measure"
)

// bench is what lies on the table. Its lock is held for a moment only: what takes
// longer works on what it has been given.
type bench struct {
	root   *os.Root
	folder string
	out    string
	units  measure.Unit

	context context.Context // until the table is put away
	work    sync.WaitGroup  // all that runs on when a request is answered

	mu      sync.Mutex
	pattern string
	scraps  []string
	wishes  []string
	asked   job.Plan
	laid    *laid // what was read of them
	stamp   string
	changed map[string]int // how often each section has changed
	run     *run           // under way, or the last
	task    *task          // a photograph that is traced
	said    string         // what went wrong with it
	plan    *plan.Document // that was found last
	of      string         // the stamp of what it was found for

	hand        *hand  // what is made by hand, once somebody asks for it
	handVersion int    // goes up with each change of it
	handLost    string // why it cannot be kept in the folder
}

// The sections of the page.
const (
	sectionBring = "bring"
	sectionWish  = "wish"
	sectionPlan  = "plan"
	sectionTake  = "take"
)

func newBench(o Options) (*bench, error) {
	root, err := folderOf(o.Folder)
	if err != nil {
		return nil, err
	}
	b := &bench{root: root, folder: o.Folder, out: o.Out, units: o.Units, pattern: o.Pattern, scraps: o.Scraps, asked: job.Usual(), context: context.Background(),
		changed: map[string]int{sectionBring: 1, sectionWish: 1, sectionPlan: 1, sectionTake: 1}}
	b.wishes = b.keptWishes()[b.pattern]
	b.look()
	// A plan that was found for just these files lies there still.
	if d, err := job.ReadPlan(filepath.Join(o.Folder, o.Out, job.PlanFile)); err == nil && d.Pattern == b.pattern && slices.Equal(d.ScrapFiles, b.scraps) {
		b.plan, b.of = d, ""
	}
	return b, nil
}

// laid is what was read of the files on the table.
type laid struct {
	pattern string
	pieces  []*piece.Piece
	refused error // why there are none
	warns   []string
	files   []scrapFile
	pile    []piece.Scrap // of all files, as planning takes them
	apart   error         // why the files do not go together, each by itself being right
	wishes  []wish.Wish
	unmet   error // why the wishes do not go with them
}

// scrapFile is one file of scraps.
type scrapFile struct {
	name    string
	drawn   []piece.DrawnScrap // the scraps, with their lines
	grounds []piece.Ground
	scraps  []piece.Scrap
	refused error
}

// path is where a file is that was named on the command line or brought.
func (b *bench) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(b.folder, name)
}

// stampOf is when the files were last changed, and what is wished.
func (b *bench) stampOf() string {
	var s strings.Builder
	for _, name := range append([]string{b.pattern}, b.scraps...) {
		if info, err := os.Stat(b.path(name)); err == nil && name != "" {
			fmt.Fprintf(&s, "%q %d %d\n", name, info.Size(), info.ModTime().UnixNano())
		} else {
			fmt.Fprintf(&s, "%q\n", name)
		}
	}
	fmt.Fprintf(&s, "%q", b.wishes)
	return s.String()
}

// look reads the files anew if they are not what they were: she may have drawn on
// one of them in another program. The lock is held, or nobody else is there yet.
func (b *bench) look() {
	stamp := b.stampOf()
	if stamp == b.stamp {
		return
	}
	b.stamp, b.laid = stamp, b.read()
	for section := range b.changed {
		b.changed[section]++
	}
}

// read reads all that lies on the table. What is wrong with one file keeps no
// other from being shown.
func (b *bench) read() *laid {
	l := &laid{pattern: b.pattern}
	if b.pattern != "" {
		if l.pieces, l.refused = job.Pattern(b.path(b.pattern)); l.refused == nil {
			l.warns = allowance.Warnings(l.pieces)
		}
	}
	var good []string
	for _, name := range b.scraps {
		f := scrapFile{name: name}
		if f.drawn, f.grounds, f.refused = job.DrawnScraps(b.path(name)); f.refused == nil {
			good = append(good, b.path(name))
		}
		for i := range f.drawn {
			f.scraps = append(f.scraps, f.drawn[i].Scrap)
		}
		l.files = append(l.files, f)
	}
	if len(good) > 0 {
		l.pile, l.apart = job.Pile(good, nil, nil)
	}
	if l.pieces != nil {
		l.wishes, l.unmet = job.Wishes(b.path(b.pattern), b.wishes, l.pieces, l.pile)
	}
	return l
}

// ready reports why there is no planning yet; it is empty where there may be.
func (l *laid) ready() string {
	switch {
	case l.refused != nil:
		return "The pattern cannot be read; see above."
	case len(l.pieces) == 0:
		return "Bring a pattern first."
	case slices.ContainsFunc(l.files, func(f scrapFile) bool { return f.refused != nil }):
		return "A file of scraps cannot be read; mend it, or take it off the table."
	case l.apart != nil:
		return "The files of scraps do not go together; see above."
	case len(l.pile) == 0:
		return "Bring scraps first."
	case l.unmet != nil:
		return "A wish cannot be asked for; see above."
	}
	return ""
}

// change marks sections as changed. The lock is held.
func (b *bench) change(sections ...string) {
	for _, s := range sections {
		b.changed[s]++
	}
}

// state is what a page asks for over and over.
type state struct {
	Changed map[string]int `json:"changed"`
	Hand    int            `json:"hand"` // the version of what is made by hand
	Run     *runState      `json:"run,omitempty"`
	Task    *taskState     `json:"task,omitempty"`
}

func (b *bench) state() state {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	s := state{Changed: maps.Clone(b.changed), Hand: b.handVersion}
	if b.run != nil && b.run.going {
		s.Run = b.run.state(time.Now())
	}
	if b.task != nil {
		s.Task = &taskState{What: b.task.what, Seconds: time.Since(b.task.began).Seconds()}
	}
	return s
}

// task is work of more than a moment that is no planning.
type task struct {
	what  string
	began time.Time
}

type taskState struct {
	What    string  `json:"what"`
	Seconds float64 `json:"seconds"`
}
