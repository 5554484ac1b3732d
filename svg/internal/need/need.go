// Package need finds the programs that a test runs beside Go. Where one is
// missing the test is skipped with a word on what to install. With the
// variable EKE_TEST_ALL set it fails instead, so that a machine that is to run
// every check cannot pass without.
//
// `go test` keeps the words of tests that pass to itself unless it is asked
// with -v. So they are said on the terminal too, where there is one.
package need

import (
	"fmt"
	"os"
	"os/exec"
	"sync"
	"testing"
)

// Program is the path of the first of the programs that is here. The package
// is Debian's that holds one.
func Program(t testing.TB, debianPackage string, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	word := fmt.Sprintf("%s is not here: install it (Debian package %s) for this check", names[0], debianPackage)
	if os.Getenv("EKE_TEST_ALL") != "" {
		t.Fatal(word)
	}
	sayOnce(names[0], fmt.Sprintf("skipped %s and others like it: %s\n", t.Name(), word))
	t.Skip(word)
	return ""
}

var said sync.Map

func sayOnce(about, word string) {
	if _, before := said.LoadOrStore(about, true); before {
		return
	}
	if terminal, err := os.OpenFile("/dev/tty", os.O_WRONLY, 0); err == nil {
		fmt.Fprint(terminal, word)
		terminal.Close()
	}
}
