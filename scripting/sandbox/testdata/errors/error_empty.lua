-- want: error_empty.lua:2: error called without a message
error()
