package main

import (
	"fmt"
	"os/exec"
	"runtime"

	"eke/cmd/table"

	"github.com/spf13/cobra"
)

func newTable() *cobra.Command {
	var out string
	var port int
	var noBrowser bool
	var units unitValue
	cmd := &cobra.Command{
		Use:   "table [PATTERN] [SCRAPS…]",
		Short: "Do it all on a page: see, wish, plan and print",
		Long: `table shows a page in your browser on which you bring a pattern, scraps or
photographs of them, see how they were read, draw on the scraps where they were read
wrong, wish, plan, draw seams and lay parts by hand, and take away the pages.
It is the other commands with pictures, and writes the files that they write.

The page is on this machine alone, and nothing leaves it. Files that you drop on it
are copied to the folder you are in. Ctrl-C puts the table away.`,
		Example: `  eke table
  eke table samples/tshirt.svg samples/scraps.csv`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if port < 0 || port > 65535 {
				return fmt.Errorf("--port %d: give a number from 1 to 65535, or 0 for any that is free", port)
			}
			o := table.Options{Folder: ".", Out: out, Units: units.Unit}
			if len(args) > 0 {
				o.Pattern, o.Scraps = args[0], args[1:]
			}
			t, err := table.New(o, port)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "the cutting table is at %s\nCtrl-C puts it away\n", t.URL())
			if !noBrowser {
				if err := openInBrowser(t.URL()); err != nil {
					fmt.Fprintln(cmd.OutOrStdout(), wrapped("no browser could be started; open the address above in yours"))
				}
			}
			return t.Serve(cmd.Context())
		},
	}
	fl := cmd.Flags()
	fl.StringVarP(&out, "output", "o", "out", "`folder` that plans are written to, in the folder you are in")
	fl.IntVar(&port, "port", 0, "`number` of the port on 127.0.0.1; any that is free if not given")
	fl.BoolVar(&noBrowser, "no-browser", false, "only print the address")
	fl.Var(&units, "units", "unit of lengths: mm, cm or in")
	return cmd
}

// openInBrowser starts the browser that the system opens pages with.
func openInBrowser(url string) error {
	name, args := "xdg-open", []string{url}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", url}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }()
	return nil
}
