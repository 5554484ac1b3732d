package main

import (
	"errors"
	"fmt"
	"runtime/debug"
	"strings"

	"eke/split/wish"
	"eke/svg"

	"github.com/spf13/cobra"
)

// The help lists commands and topics apart.
const (
	commandGroup = "commands"
	topicGroup   = "topics"
)

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "eke",
		Short: "Cut a sewing pattern from scraps of cloth",
		Long: `eke reads pattern pieces (SVG) and scraps of cloth, finds the least intrusive
seams that let every piece fit, proves the plan, and writes true-size pieces,
layouts and a sewing order.`,
		Example: `  eke fit samples/tshirt.svg samples/scraps.csv
  eke plan samples/tshirt.svg samples/scraps.csv -o out
  eke split samples/tshirt.svg --piece front --yoke 255mm -o halves
  eke sheets out/option-1 --paper a4
  eke rest out/option-1/left.svg
  eke table samples/tshirt.svg samples/scraps.csv
  eke lining samples/cardigan.svg -o lining.svg`,
		Version:       version(),
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return unknownCommand(cmd, args[0])
		},
	}
	root.SetFlagErrorFunc(flagError)
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages", fmt.Sprintf(".FlagUsagesWrapped %d", gridColumns)))
	root.AddGroup(&cobra.Group{ID: commandGroup, Title: "Commands:"}, &cobra.Group{ID: topicGroup, Title: "Topics, as in eke help pattern:"})
	root.AddCommand(newFit(), newPlan(), newSplit(), newSheets(), newTrace(), newLining(), newRest(), newTable())
	for _, c := range root.Commands() {
		onceEach(c)
		c.GroupID = commandGroup
	}
	root.AddCommand(topics()...)
	root.SetHelpCommand(newHelp())
	root.SetHelpCommandGroupID(commandGroup)
	root.SetCompletionCommandGroupID(commandGroup)
	root.InitDefaultCompletionCmd()
	if completion, _, err := root.Find([]string{"completion"}); err == nil {
		completion.Args = nil
		completion.RunE = func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return cmd.Help()
		}
	}
	return root
}

func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [command or topic]",
		Short: "Say what a command does, with examples, or what a topic is about",
		RunE: func(help *cobra.Command, args []string) error {
			cmd, rest, err := help.Root().Find(args)
			if err == nil && len(rest) > 0 {
				return unknownCommand(cmd, rest[0])
			}
			if err != nil {
				return unknownCommand(help.Root(), args[0])
			}
			cmd.InitDefaultHelpFlag()
			cmd.InitDefaultVersionFlag()
			return cmd.Help()
		},
	}
}

// topics are what the help tells of beside the commands: what they read.
func topics() []*cobra.Command {
	var wishes []string
	for _, line := range wish.Help() {
		wishes = append(wishes, wrapped(line))
	}
	return []*cobra.Command{
		newTopic("pattern", "How a pattern is drawn", svg.PatternHelp, "eke fit PATTERN SCRAPS…"),
		newTopic("scraps", "How scraps are listed", svg.ScrapsHelp, "eke rest SCRAPS…"),
		newTopic("wishes", "What may be wished of a plan", strings.Join(wishes, "\n\n"), "eke plan PATTERN SCRAPS… --wish WISH"),
	}
}

// newTopic is a topic of the help. It reads no file: one that is given is for the
// command that reads such.
func newTopic(name, short, long, reads string) *cobra.Command {
	c := &cobra.Command{Use: name, Short: short, Long: long, GroupID: topicGroup, Args: cobra.ArbitraryArgs, DisableFlagsInUseLine: true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("%s is a topic of the help, and %q was not read; run %s", name, args[0], reads)
			}
			return cmd.Help()
		}}
	c.SetHelpTemplate("{{.Long | trimTrailingWhitespaces}}\n")
	return c
}

// unknownCommand names the commands there are.
func unknownCommand(of *cobra.Command, name string) error {
	var names, topics []string
	for _, c := range of.Commands() {
		switch {
		case c.GroupID == topicGroup:
			topics = append(topics, c.Name())
		case c.IsAvailableCommand():
			names = append(names, c.Name())
		}
	}
	of.SuggestionsMinimumDistance = max(1, len(name)/3) // letters put in, left out or changed
	if near := of.SuggestionsFor(name); len(near) > 0 {
		return fmt.Errorf("there is no command %q; did you mean %s?", name, near[0])
	}
	if len(names) == 0 {
		return fmt.Errorf("%q is one too many; see %s --help", name, of.CommandPath())
	}
	what := strings.Join(names, ", ")
	if len(topics) > 0 {
		what += "; and of help the topics " + strings.Join(topics, ", ")
	}
	return fmt.Errorf("there is no command %q; there are %s", name, what)
}

// atLeast refuses fewer arguments than a command needs, and says how it is
// called.
func atLeast(n int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < n {
			return errors.New("something is missing; write " + cmd.UseLine())
		}
		return nil
	}
}

// just refuses more arguments too.
func just(n int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) > n {
			return fmt.Errorf("%q is one too many; write %s", args[n], cmd.UseLine())
		}
		return atLeast(n)(cmd, args)
	}
}

// version is what the build says of itself.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "unknown"
	}
	return info.Main.Version + " (" + info.GoVersion + ")"
}
