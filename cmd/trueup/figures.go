package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"trueup/rules/shop"
)

func figuresCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "figures",
		Short: "Explain every set-up figure with its formula",
		Long: `Explains the figures on the shop's sheets: what each is, its unit, its formula and
where the formula comes from. Values in lower case are settings or measures of the
drawing.`,
		Example: "  trueup figures",
		Args:    none,
		RunE: func(cmd *cobra.Command, _ []string) error {
			for i, f := range shop.Figures() {
				if i > 0 {
					fmt.Fprintln(cmd.OutOrStdout())
				}
				unit := ""
				if f.Unit != "" {
					unit = " [" + f.Unit + "]"
				}
				if _, err := fmt.Fprintf(cmd.OutOrStdout(), "%s%s\n  %s\n  source: %s\n", f.Name, unit, f.Formula, f.Source); err != nil {
					return err
				}
			}
			return nil
		},
	}
}
