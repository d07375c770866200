upst "misspelt" { }
-- problems
-- 1: unknown name 'upst', did you mean 'upset'?
