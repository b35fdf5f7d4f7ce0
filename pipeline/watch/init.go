package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// Init sets up a shop folder: the folders of the service, and trueup.toml with
// the given text. What is there already stays as it is.
func Init(shop, settings string) error {
	if err := os.MkdirAll(shop, 0o777); err != nil {
		return fmt.Errorf("shop folder %s: %w", shop, err)
	}
	root, err := os.OpenRoot(shop)
	if err != nil {
		return fmt.Errorf("shop folder %s: %w", shop, err)
	}
	defer root.Close()
	f := &folder{root: root, path: shop}
	// drop/ comes last: it is what makes a folder a shop folder.
	for _, dir := range append(states(), claimsDir, scratchDir, stageDir, namesDir, serversDir) {
		if err := f.mkdirAll(dir); err != nil {
			return fmt.Errorf("shop folder %s: %w", shop, err)
		}
	}
	if err := f.writeFile(settingsFile, []byte(settings)); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("shop folder %s: %w", shop, err)
	}
	if err := f.mkdirAll(dropDir); err != nil {
		return fmt.Errorf("shop folder %s: %w", shop, err)
	}
	return nil
}
