package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"trueup/pipeline/settings"
	"trueup/rules"
)

func rulesCommand() *cobra.Command {
	var asJSON, markdown bool
	cmd := &cobra.Command{
		Use:   "rules [RULE]",
		Short: "Print the catalogue of rules, or one rule in full",
		Long: `Prints every rule with its severity and what it finds; or one rule in full: what, why,
how it is measured, its limits and where they come from.`,
		Example: "  trueup rules\n  trueup rules narrow-section\n  trueup rules --json | jq '.[].id'",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("%d rules named; name one, or none for the table", len(args))
			}
			return nil
		},
		ValidArgs: ruleIDs(),
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON to standard output")
	cmd.Flags().BoolVar(&markdown, "markdown", false, "print the table of the README")
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		out := cmd.OutOrStdout()
		encoder := json.NewEncoder(out)
		encoder.SetEscapeHTML(false)
		if len(args) == 1 {
			for _, d := range rules.Details() {
				if d.ID != args[0] {
					continue
				}
				if asJSON {
					return encoder.Encode(d)
				}
				return d.WriteText(out)
			}
			return noRule(args[0])
		}
		switch {
		case markdown:
			_, err := fmt.Fprint(out, rules.Markdown())
			return err
		case asJSON:
			return encoder.Encode(rules.Details())
		default:
			return rules.WriteTable(out)
		}
	}
	return cmd
}

func noRule(word string) error {
	hint := ""
	if near := settings.Nearest(word, ruleIDs()); near != "" {
		hint = " (did you mean " + near + "?)"
	}
	return fmt.Errorf("no rule %q%s; `trueup rules` lists them", word, hint)
}

func ruleIDs() []string {
	var ids []string
	for _, r := range rules.Catalogue() {
		ids = append(ids, r.ID)
	}
	return ids
}
