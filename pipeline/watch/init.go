package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"trueup/pipeline/safefs"
)

// Init sets up a shop folder: the folders of the service, and trueup.toml with
// the given text. What is there already stays as it is.
func Init(shop, settings string) error {
	cannot := func(err error) error {
		var pe *fs.PathError
		if errors.As(err, &pe) { // the folder is named already
			err = pe.Err
		}
		return fmt.Errorf("shop folder %s cannot be made: %w; choose a folder that you may write, or run this as a user who may", shop, err)
	}
	if err := os.MkdirAll(shop, 0o777); err != nil {
		return cannot(err)
	}
	root, err := safefs.OpenDir(shop)
	if err != nil {
		return cannot(err)
	}
	defer root.Close()
	f := &folder{root: root, path: shop}
	// drop/ comes last: it is what makes a folder a shop folder.
	for _, dir := range append(states(), claimsDir, scratchDir, stageDir, namesDir, serversDir, keptDir) {
		if err := f.makeShared(dir); err != nil {
			return cannot(err)
		}
	}
	if err := f.ownWork(); err != nil {
		return cannot(err)
	}
	if err := f.writeFile(settingsFile, []byte(settings)); err != nil && !errors.Is(err, fs.ErrExist) {
		return cannot(err)
	}
	if err := f.makeShared(dropDir); err != nil {
		return cannot(err)
	}
	return nil
}

// makeShared makes a folder that everybody may look into, whatever the umask; one that
// is there keeps the rights it was given.
func (f *folder) makeShared(dir string) error {
	if f.exists(dir) {
		return nil
	}
	if err := f.mkdirAll(dir); err != nil {
		return err
	}
	f.chmod(dir, publishedDir) // a share without rights refuses that, and has given what it gives
	return nil
}
