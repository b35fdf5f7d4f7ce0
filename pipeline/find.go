package pipeline

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// Item is one template to check. Fault says why it cannot even be opened: a
// folder or a link that is named like a drawing.
type Item struct {
	Path  string // to open
	File  string // as named in messages: the path below the argument
	Job   string // File without .dxf
	Fault error
}

// Find lists the templates below the paths, in the order of the arguments, the
// files of a folder sorted by path. A file named outright is taken whatever its
// name; below a folder only .dxf counts, in any case. Links below a folder are
// not followed. A path that does not exist, or a folder without templates, is an
// error. Two arguments with the same job get different jobs.
func Find(paths []string) ([]Item, error) {
	var items []Item
	taken := map[string]bool{}
	for _, p := range paths {
		found, err := below(p)
		if err != nil {
			return nil, err
		}
		for _, it := range found {
			job := it.Job
			for n := 2; taken[strings.ToLower(it.Job)]; n++ {
				it.Job = fmt.Sprintf("%s-%d", job, n)
			}
			taken[strings.ToLower(it.Job)] = true
			items = append(items, it)
		}
	}
	namePlainly(items)
	return items, nil
}

// namePlainly names templates of two arguments that share a name by their whole
// paths, so that a line says which of them it is about.
func namePlainly(items []Item) {
	count := map[string]int{}
	for _, it := range items {
		count[it.File]++
	}
	for i, it := range items {
		if count[it.File] > 1 {
			items[i].File = filepath.ToSlash(filepath.Clean(it.Path))
		}
	}
}

func below(root string) ([]Item, error) {
	info, err := os.Stat(root)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: no such file or folder; check the name", root)
	}
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return []Item{newItem(root, filepath.Base(root))}, nil
	}
	if isDrawing(root) {
		it := newItem(root, filepath.Base(root))
		it.Fault = fmt.Errorf("%s: is a folder named like a drawing; rename it, or name the files in it", it.File)
		return []Item{it}, nil
	}
	if isShop(root) {
		return nil, fmt.Errorf("%s: is a shop's folder, which trueup watch serves: its reports hold drawings too; name %s for what waits", root, filepath.Join(root, "drop"))
	}
	var items []Item
	err = filepath.WalkDir(root, func(p string, e fs.DirEntry, err error) error {
		rel, _ := filepath.Rel(root, p)
		if err != nil {
			if p == root {
				return err
			}
			it := newItem(p, filepath.ToSlash(rel))
			it.Fault = fmt.Errorf("%s: %w", it.File, err)
			items = append(items, it)
			return fs.SkipDir
		}
		if p == root || !isDrawing(p) {
			return nil
		}
		it := newItem(p, filepath.ToSlash(rel))
		switch {
		case e.IsDir():
			it.Fault = fmt.Errorf("%s: is a folder named like a drawing; rename it", it.File)
			items = append(items, it)
			return fs.SkipDir
		case e.Type()&fs.ModeSymlink != 0:
			it.Fault = fmt.Errorf("%s: is a link; links are not followed, put the file itself here", it.File)
		case !e.Type().IsRegular():
			it.Fault = fmt.Errorf("%s: is not a regular file; put a drawing here", it.File)
		}
		items = append(items, it)
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(items) == 0 {
		return nil, fmt.Errorf("%s: no .dxf file in this folder or below it; put templates there or name another folder", root)
	}
	return items, nil
}

// isShop reports whether a folder is one that the service works in.
func isShop(dir string) bool {
	for _, name := range [...]string{"drop", "review", "ready", ".work"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || !info.IsDir() {
			return false
		}
	}
	return true
}

func isDrawing(p string) bool { return strings.EqualFold(filepath.Ext(p), ".dxf") }

func newItem(p, file string) Item {
	job := file
	if isDrawing(file) {
		job = strings.TrimSuffix(file, path.Ext(file))
	}
	return Item{Path: p, File: file, Job: job}
}
