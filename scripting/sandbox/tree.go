package sandbox

import "github.com/yuin/gopher-lua/ast"

// Walk visits every statement and expression of a tree, outermost first and
// in the order written, until visit returns false for a node (whose inside
// is then left out). Nodes are ast.Stmt or ast.Expr; depth counts levels.
func Walk(tree []ast.Stmt, visit func(node ast.PositionHolder, depth int) bool) {
	walkStmts(tree, 1, visit)
}

type visitor = func(ast.PositionHolder, int) bool

func walkStmts(list []ast.Stmt, depth int, v visitor) {
	for _, st := range list {
		walkStmt(st, depth, v)
	}
}

func walkExprs(list []ast.Expr, depth int, v visitor) {
	for _, e := range list {
		walkExpr(e, depth, v)
	}
}

func walkStmt(st ast.Stmt, depth int, v visitor) {
	if st == nil || !v(st, depth) {
		return
	}
	depth++
	switch st := st.(type) {
	case *ast.AssignStmt:
		walkExprs(st.Lhs, depth, v)
		walkExprs(st.Rhs, depth, v)
	case *ast.LocalAssignStmt:
		walkExprs(st.Exprs, depth, v)
	case *ast.FuncCallStmt:
		walkExpr(st.Expr, depth, v)
	case *ast.DoBlockStmt:
		walkStmts(st.Stmts, depth, v)
	case *ast.WhileStmt:
		walkExpr(st.Condition, depth, v)
		walkStmts(st.Stmts, depth, v)
	case *ast.RepeatStmt:
		walkStmts(st.Stmts, depth, v)
		walkExpr(st.Condition, depth, v)
	case *ast.IfStmt:
		walkExpr(st.Condition, depth, v)
		walkStmts(st.Then, depth, v)
		walkStmts(st.Else, depth, v)
	case *ast.NumberForStmt:
		walkExpr(st.Init, depth, v)
		walkExpr(st.Limit, depth, v)
		walkExpr(st.Step, depth, v)
		walkStmts(st.Stmts, depth, v)
	case *ast.GenericForStmt:
		walkExprs(st.Exprs, depth, v)
		walkStmts(st.Stmts, depth, v)
	case *ast.FuncDefStmt:
		if st.Name != nil {
			walkExpr(st.Name.Func, depth, v)
			walkExpr(st.Name.Receiver, depth, v)
		}
		walkExpr(st.Func, depth, v)
	case *ast.ReturnStmt:
		walkExprs(st.Exprs, depth, v)
	}
}

func walkExpr(e ast.Expr, depth int, v visitor) {
	if e == nil {
		return
	}
	if fn, ok := e.(*ast.FunctionExpr); ok && fn == nil {
		return
	}
	if !v(e, depth) {
		return
	}
	depth++
	switch e := e.(type) {
	case *ast.AttrGetExpr:
		walkExpr(e.Object, depth, v)
		walkExpr(e.Key, depth, v)
	case *ast.TableExpr:
		for _, f := range e.Fields {
			walkExpr(f.Key, depth, v)
			walkExpr(f.Value, depth, v)
		}
	case *ast.FuncCallExpr:
		walkExpr(e.Func, depth, v)
		walkExpr(e.Receiver, depth, v)
		walkExprs(e.Args, depth, v)
	case *ast.LogicalOpExpr:
		walkExpr(e.Lhs, depth, v)
		walkExpr(e.Rhs, depth, v)
	case *ast.RelationalOpExpr:
		walkExpr(e.Lhs, depth, v)
		walkExpr(e.Rhs, depth, v)
	case *ast.StringConcatOpExpr:
		walkExpr(e.Lhs, depth, v)
		walkExpr(e.Rhs, depth, v)
	case *ast.ArithmeticOpExpr:
		walkExpr(e.Lhs, depth, v)
		walkExpr(e.Rhs, depth, v)
	case *ast.UnaryMinusOpExpr:
		walkExpr(e.Expr, depth, v)
	case *ast.UnaryNotOpExpr:
		walkExpr(e.Expr, depth, v)
	case *ast.UnaryLenOpExpr:
		walkExpr(e.Expr, depth, v)
	case *ast.FunctionExpr:
		walkStmts(e.Stmts, depth, v)
	}
}

// MapExprs replaces every expression of a tree by what f makes of it, inner
// ones first. f gets each expression after its parts were replaced.
func MapExprs(tree []ast.Stmt, f func(ast.Expr) ast.Expr) { mapper{f}.stmts(tree) }

type mapper struct{ f func(ast.Expr) ast.Expr }

func (m mapper) stmts(list []ast.Stmt) {
	for _, st := range list {
		m.stmt(st)
	}
}

func (m mapper) exprs(list []ast.Expr) {
	for i := range list {
		m.expr(&list[i])
	}
}

// target maps the inside of an assignment target, which must stay a target.
func (m mapper) target(e ast.Expr) {
	if at, ok := e.(*ast.AttrGetExpr); ok {
		m.expr(&at.Object)
		m.expr(&at.Key)
	}
}

func (m mapper) stmt(st ast.Stmt) {
	switch st := st.(type) {
	case *ast.AssignStmt:
		for _, l := range st.Lhs {
			m.target(l)
		}
		m.exprs(st.Rhs)
	case *ast.LocalAssignStmt:
		m.exprs(st.Exprs)
	case *ast.FuncCallStmt:
		if call, ok := st.Expr.(*ast.FuncCallExpr); ok {
			m.parts(call)
		}
	case *ast.DoBlockStmt:
		m.stmts(st.Stmts)
	case *ast.WhileStmt:
		m.expr(&st.Condition)
		m.stmts(st.Stmts)
	case *ast.RepeatStmt:
		m.stmts(st.Stmts)
		m.expr(&st.Condition)
	case *ast.IfStmt:
		m.expr(&st.Condition)
		m.stmts(st.Then)
		m.stmts(st.Else)
	case *ast.NumberForStmt:
		m.expr(&st.Init)
		m.expr(&st.Limit)
		m.expr(&st.Step)
		m.stmts(st.Stmts)
	case *ast.GenericForStmt:
		m.exprs(st.Exprs)
		m.stmts(st.Stmts)
	case *ast.FuncDefStmt:
		m.stmts(st.Func.Stmts)
	case *ast.ReturnStmt:
		m.exprs(st.Exprs)
	}
}

func (m mapper) expr(e *ast.Expr) {
	if *e == nil {
		return
	}
	m.parts(*e)
	*e = m.f(*e)
}

func (m mapper) parts(e ast.Expr) {
	switch e := e.(type) {
	case *ast.AttrGetExpr:
		m.expr(&e.Object)
		m.expr(&e.Key)
	case *ast.TableExpr:
		for _, f := range e.Fields {
			m.expr(&f.Key)
			m.expr(&f.Value)
		}
	case *ast.FuncCallExpr:
		m.expr(&e.Func)
		m.expr(&e.Receiver)
		m.exprs(e.Args)
	case *ast.LogicalOpExpr:
		m.expr(&e.Lhs)
		m.expr(&e.Rhs)
	case *ast.RelationalOpExpr:
		m.expr(&e.Lhs)
		m.expr(&e.Rhs)
	case *ast.StringConcatOpExpr:
		m.expr(&e.Lhs)
		m.expr(&e.Rhs)
	case *ast.ArithmeticOpExpr:
		m.expr(&e.Lhs)
		m.expr(&e.Rhs)
	case *ast.UnaryMinusOpExpr:
		m.expr(&e.Expr)
	case *ast.UnaryNotOpExpr:
		m.expr(&e.Expr)
	case *ast.UnaryLenOpExpr:
		m.expr(&e.Expr)
	case *ast.FunctionExpr:
		m.stmts(e.Stmts)
	}
}

// CallTo makes the expression name(args...), at the place of an expression.
func CallTo(name string, at ast.Expr, args ...ast.Expr) ast.Expr {
	fn := &ast.IdentExpr{Value: name}
	fn.SetLine(at.Line())
	fn.SetLastLine(at.LastLine())
	call := &ast.FuncCallExpr{Func: fn, Args: args, AdjustRet: true}
	call.SetLine(at.Line())
	call.SetLastLine(at.LastLine())
	return call
}
