package sandbox

import "github.com/yuin/gopher-lua/ast"

// check refuses what the compiler cannot take.
//
// Nesting: the compiler is recursive, and a deep enough tree ends the whole
// process; it is also quadratic in the length of a chain of operators.
//
// Dead branches: inside a `for ... in` loop the compiler of
// gopher-lua v1.1.2 makes wrong code of `if false then` or `if nil then`. Scripts use it to
// switch lines off, so it is refused rather than run wrongly.
func (p *Program) check() error {
	var bad *Error
	Walk(p.AST, func(n ast.PositionHolder, depth int) bool {
		if bad == nil && depth > maxNesting {
			bad = &Error{File: p.File, Line: n.Line(), Msg: "blocks, calls or operators are nested too deeply",
				Hint: "split the expression with local names, or move part of it into a function"}
		}
		return bad == nil
	})
	if bad != nil {
		return bad
	}
	Walk(p.AST, func(n ast.PositionHolder, _ int) bool {
		loop, ok := n.(*ast.GenericForStmt)
		if !ok || bad != nil {
			return bad == nil
		}
		Walk(loop.Stmts, func(n ast.PositionHolder, _ int) bool {
			var cond ast.Expr
			switch st := n.(type) {
			case *ast.IfStmt:
				cond = st.Condition
			case *ast.WhileStmt:
				cond = st.Condition
			}
			if bad == nil && neverTrue(cond) {
				bad = &Error{File: p.File, Line: n.Line(), Msg: "'if false' or 'if nil' inside a for loop would be run wrongly",
					Hint: "to switch lines off put -- before each of them, or --[[ and ]] around them"}
			}
			return bad == nil
		})
		return bad == nil
	})
	if bad != nil {
		return bad
	}
	return nil
}

// neverTrue says that a condition holds a bare false or nil the compiler
// would turn into a plain jump.
func neverTrue(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.FalseExpr, *ast.NilExpr:
		return true
	case *ast.UnaryNotOpExpr:
		return neverTrue(e.Expr)
	case *ast.LogicalOpExpr:
		return neverTrue(e.Lhs) || neverTrue(e.Rhs)
	}
	return false
}
