package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
)

const module = "ebbline"

// The whole tree keeps to the rules of the house. Tests and generated files are
// not looked at: tests may time out and read clocks, and generated code is its
// generator's business.
func TestHouse(t *testing.T) {
	root := filepath.Join("..", "..")
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	for _, problem := range checkTopLevel(names) {
		t.Error(problem)
	}
	sources, err := readSources(os.DirFS(root))
	if err != nil {
		t.Fatal(err)
	}
	if len(sources) < 10 {
		t.Fatalf("only %d Go files found: is the tree where the test looks for it?", len(sources))
	}
	used := map[string]bool{}
	for _, problem := range checkSources(t, sources, used) {
		t.Error(problem)
	}
	for exception := range allowed {
		if !used[exception] {
			t.Errorf("the exception %q is not needed any more", exception)
		}
	}
}

// readSources answers every Go file by its slash-separated path.
func readSources(tree fs.FS) (map[string]string, error) {
	sources := map[string]string{}
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (d.Name()[0] == '.' || d.Name() == "node_modules" || d.Name() == "testdata" || builtThings[name]) {
			return fs.SkipDir
		}
		if d.IsDir() || path.Ext(name) != ".go" {
			return nil
		}
		text, err := fs.ReadFile(tree, name)
		sources[name] = string(text)
		return err
	})
	return sources, err
}

func checkTopLevel(names []string) (problems []string) {
	for _, name := range names {
		if name[0] != '.' && !topLevel[name] && !builtThings[name] {
			problems = append(problems, fmt.Sprintf("%s: the top level of the tree is fixed and has no such entry", name))
		}
	}
	return problems
}

// checkSources answers what breaks a rule, one line each, in order of files, and
// notes in used which exceptions it took.
func checkSources(t *testing.T, sources map[string]string, used map[string]bool) []string {
	t.Helper()
	h := &house{files: token.NewFileSet(), imports: map[string]map[string]bool{}, used: used}
	for _, name := range sortedKeys(sources) {
		if strings.HasSuffix(name, "_test.go") || strings.HasSuffix(name, ".gen.go") {
			continue
		}
		file, err := parser.ParseFile(h.files, name, sources[name], 0)
		if err != nil {
			t.Fatal(err)
		}
		h.checkImports(name, file)
		h.checkSelectors(name, file)
	}
	h.checkCircles()
	return h.problems
}

// house collects what a walk over the files finds.
type house struct {
	files    *token.FileSet
	imports  map[string]map[string]bool // package -> packages of ours it imports
	used     map[string]bool            // exceptions taken
	problems []string
}

func (h *house) say(at token.Pos, format string, args ...any) {
	h.problems = append(h.problems, fmt.Sprintf("%s: %s", h.files.Position(at), fmt.Sprintf(format, args...)))
}

func (h *house) checkImports(name string, file *ast.File) {
	from := path.Dir(name)
	may, known := mayImport[from]
	free := strings.HasPrefix(from, "cmd/")
	if !known && !free {
		h.say(file.Package, "package %s has no place in the house", from)
		return
	}
	if h.imports[from] == nil {
		h.imports[from] = map[string]bool{}
	}
	for _, spec := range file.Imports {
		what := importPath(spec)
		if spec.Name != nil && spec.Name.Name == "." {
			h.say(spec.Pos(), "%s imports %s by dot, which hides where a name comes from", from, what)
		}
		for library, home := range homes {
			if strings.HasPrefix(what, library) && from != home && !strings.HasPrefix(from, home+"/") {
				h.say(spec.Pos(), "%s imports %s, whose home is %s", from, what, home)
			}
		}
		if ours, ok := strings.CutPrefix(what, module+"/"); ok {
			h.imports[from][ours] = true
			if !free && !may[ours] {
				h.say(spec.Pos(), "%s may not import %s", from, ours)
			}
			continue
		}
		if pure[from] && (pureMayNotImport[what] || strings.Contains(strings.Split(what, "/")[0], ".")) {
			h.say(spec.Pos(), "%s is pure and imports %s", from, what)
		}
	}
}

// checkSelectors looks at every name taken from an imported package.
func (h *house) checkSelectors(name string, file *ast.File) {
	from := path.Dir(name)
	paths := map[string]string{} // name in this file -> import path
	limits := false
	for _, spec := range file.Imports {
		what := importPath(spec)
		local := path.Base(what)
		if strings.HasPrefix(local, "v") && path.Dir(what) == "math/rand" {
			local = "rand"
		}
		if spec.Name != nil {
			local = spec.Name.Name
		}
		paths[local] = what
		limits = limits || what == "golang.org/x/time/rate"
	}
	ast.Inspect(file, func(n ast.Node) bool {
		selector, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if limits && limiters[selector.Sel.Name] && !strings.HasPrefix(from, "cmd/") {
			h.say(selector.Pos(), "%s: .%s reads the clock inside the limiter; use the form that takes an instant", from, selector.Sel.Name)
		}
		// An identifier that the parser resolved is a variable of this file.
		if x, ok := selector.X.(*ast.Ident); ok && x.Obj == nil && paths[x.Name] != "" {
			h.checkName(name, from, paths[x.Name], selector)
		}
		return true
	})
}

func (h *house) checkName(name, from, what string, selector *ast.SelectorExpr) {
	full := what + "." + selector.Sel.Name
	if strings.HasPrefix(from, "cmd/") {
		return
	}
	if allowed[name+" "+full] != "" {
		h.used[name+" "+full] = true
		return
	}
	timeless := pure[from] || untimed[from]
	switch {
	case clockReads[full]:
		h.say(selector.Pos(), "%s reads the clock by %s; instants come from jobs.Clock", from, full)
	case timeless && timers[full]:
		h.say(selector.Pos(), "%s waits by %s; its caller does that", from, full)
	case pure[from] && zones[full]:
		h.say(selector.Pos(), "%s is pure and takes a zone from the system by %s", from, full)
	case pure[from] && printing[full]:
		h.say(selector.Pos(), "%s is pure and prints by %s", from, full)
	case timeless && (what == "math/rand" || what == "math/rand/v2") && !seeded[selector.Sel.Name]:
		h.say(selector.Pos(), "%s draws from the global random source by %s", from, full)
	}
}

// checkCircles looks for circles between packages, and between the folders at
// the top level, which Go itself does not forbid.
func (h *house) checkCircles() {
	folders := map[string]map[string]bool{}
	for from, tos := range h.imports {
		for to := range tos {
			a, b := top(from), top(to)
			if a != b {
				if folders[a] == nil {
					folders[a] = map[string]bool{}
				}
				folders[a][b] = true
			}
		}
	}
	for kind, graph := range map[string]map[string]map[string]bool{"packages": h.imports, "folders": folders} {
		if circle := findCircle(graph); circle != nil {
			h.problems = append(h.problems, fmt.Sprintf("%s in a circle: %s", kind, strings.Join(circle, " -> ")))
		}
	}
}

// findCircle answers one circle of the graph, its first element again at the
// end, or nil.
func findCircle(graph map[string]map[string]bool) []string {
	done := map[string]bool{}
	var trail []string
	var visit func(string) []string
	visit = func(at string) []string {
		if i := slices.Index(trail, at); i >= 0 {
			return append(slices.Clone(trail[i:]), at)
		}
		if done[at] {
			return nil
		}
		trail = append(trail, at)
		for _, next := range sortedKeys(graph[at]) {
			if circle := visit(next); circle != nil {
				return circle
			}
		}
		trail = trail[:len(trail)-1]
		done[at] = true
		return nil
	}
	for _, at := range sortedKeys(graph) {
		if circle := visit(at); circle != nil {
			return circle
		}
	}
	return nil
}

func top(pkg string) string {
	first, _, _ := strings.Cut(pkg, "/")
	return first
}

func importPath(spec *ast.ImportSpec) string {
	what, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		panic(err) // the parser has accepted it
	}
	return what
}

func words(list string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(list) {
		set[word] = true
	}
	return set
}

// selectors turns "time Now Since" into time.Now and time.Since.
func selectors(lists ...string) map[string]bool {
	set := map[string]bool{}
	for _, list := range lists {
		fields := strings.Fields(list)
		for _, name := range fields[1:] {
			set[fields[0]+"."+name] = true
		}
	}
	return set
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}
