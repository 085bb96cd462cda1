package wording

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"text/template"
	"text/template/parse"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCodesAndValuesAreThoseOfTheWording compares every call of Say in the program
// with the templates: each code has a sentence, each sentence is said somewhere, and
// a call gives exactly the values that the sentence and its parts use.
func TestCodesAndValuesAreThoseOfTheWording(t *testing.T) {
	set := sentences().templates
	calls := callsOfSay(t, "../..")
	require.Greater(t, len(calls), 80, "the calls are found")
	said := map[string]bool{}
	for _, call := range calls {
		said[call.code] = true
		if !assert.NotNil(t, set.Lookup(call.code), "%s: no sentence %q", call.at, call.code) {
			continue
		}
		want := map[string]bool{}
		for _, name := range withParts(set, call.code) {
			valuesOf(t, set, name, want)
		}
		assert.Equal(t, slices.Sorted(maps.Keys(want)), call.names, "%s: values of %q", call.at, call.code)
	}
	for _, found := range set.Templates() {
		for _, name := range templatesIn(found) {
			said[name] = true // a fragment of other sentences
		}
	}
	for _, found := range set.Templates() {
		code, _, _ := strings.Cut(found.Name(), ":")
		if !strings.HasSuffix(code, ".tmpl") {
			assert.True(t, said[code], "nothing says %q", found.Name())
		}
	}
}

// call is one call of Say: where, of which code, with which names of values.
type call struct {
	at, code string
	names    []string
}

func callsOfSay(t *testing.T, root string) []call {
	var calls []call
	files := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		for _, declaration := range file.Decls {
			calls = append(calls, callsIn(t, files, declaration)...)
		}
		return nil
	})
	require.NoError(t, err)
	return calls
}

// callsIn finds the calls of one declaration. Values that a call takes from a
// variable are those that the declaration gives the variable when it makes it.
func callsIn(t *testing.T, files *token.FileSet, declaration ast.Decl) []call {
	var calls []call
	made := map[string]*ast.CompositeLit{}
	ast.Inspect(declaration, func(node ast.Node) bool {
		if assign, is := node.(*ast.AssignStmt); is && len(assign.Lhs) == 1 {
			if literal, is := assign.Rhs[0].(*ast.CompositeLit); is && isOurs(literal.Type, "Values") {
				made[assign.Lhs[0].(*ast.Ident).Name] = literal
			}
		}
		found, is := node.(*ast.CallExpr)
		if !is || !isOurs(found.Fun, "Say") {
			return true
		}
		at := files.Position(found.Pos()).String()
		literal, is := found.Args[0].(*ast.BasicLit)
		if !assert.True(t, is, "%s: the code is written where it is said", at) {
			return true
		}
		code, err := strconv.Unquote(literal.Value)
		require.NoError(t, err)
		values, _ := found.Args[1].(*ast.CompositeLit)
		if name, is := found.Args[1].(*ast.Ident); is && name.Name != "nil" {
			values = made[name.Name]
			assert.NotNil(t, values, "%s: the values are written in the same function", at)
		}
		calls = append(calls, call{at: at, code: code, names: namesIn(values)})
		return true
	})
	return calls
}

// isOurs reports whether an expression names wording.NAME.
func isOurs(expression ast.Expr, name string) bool {
	selector, is := expression.(*ast.SelectorExpr)
	if !is || selector.Sel.Name != name {
		return false
	}
	of, is := selector.X.(*ast.Ident)
	return is && of.Name == "wording"
}

func namesIn(values *ast.CompositeLit) []string {
	if values == nil {
		return nil
	}
	var names []string
	for _, element := range values.Elts {
		name, _ := strconv.Unquote(element.(*ast.KeyValueExpr).Key.(*ast.BasicLit).Value)
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// withParts returns a code and the names of its parts.
func withParts(set *template.Template, code string) []string {
	names := []string{code}
	for _, found := range set.Templates() {
		if strings.HasPrefix(found.Name(), code+":") {
			names = append(names, found.Name())
		}
	}
	return names
}

// valuesOf collects the names of the values that a template uses, also through
// those that it calls with all of them.
func valuesOf(t *testing.T, set *template.Template, name string, into map[string]bool) {
	found := set.Lookup(name)
	require.NotNil(t, found, name)
	walk(found.Root, func(node parse.Node) {
		switch node := node.(type) {
		case *parse.FieldNode:
			into[node.Ident[0]] = true
		case *parse.TemplateNode:
			if node.Pipe != nil && node.Pipe.String() == "." {
				valuesOf(t, set, node.Name, into)
			}
		}
	})
}

func templatesIn(of *template.Template) []string {
	var names []string
	if of.Tree == nil {
		return nil
	}
	walk(of.Root, func(node parse.Node) {
		if called, is := node.(*parse.TemplateNode); is {
			names = append(names, called.Name)
		}
	})
	return names
}

// walk visits every node of a template.
func walk(node parse.Node, visit func(parse.Node)) {
	visit(node)
	switch node := node.(type) {
	case *parse.ListNode:
		for _, inner := range node.Nodes {
			walk(inner, visit)
		}
	case *parse.ActionNode:
		walk(node.Pipe, visit)
	case *parse.PipeNode:
		for _, command := range node.Cmds {
			walk(command, visit)
		}
	case *parse.CommandNode:
		for _, argument := range node.Args {
			walk(argument, visit)
		}
	case *parse.TemplateNode:
		if node.Pipe != nil {
			walk(node.Pipe, visit)
		}
	case *parse.IfNode:
		walkBranch(&node.BranchNode, visit)
	case *parse.RangeNode:
		walkBranch(&node.BranchNode, visit)
	case *parse.WithNode:
		walkBranch(&node.BranchNode, visit)
	}
}

func walkBranch(branch *parse.BranchNode, visit func(parse.Node)) {
	walk(branch.Pipe, visit)
	walk(branch.List, visit)
	if branch.ElseList != nil {
		walk(branch.ElseList, visit)
	}
}
