// Package conduction holds the exact textbook solutions of transient heat conduction, for any solid, size and time: the plane wall, the long cylinder and the sphere in convection ([Body], [Theta]), the
// plane wall at constant flux ([FluxTheta], [WallFlux]), the semi-infinite solid ([Solid] and its methods) and the body of one temperature that exchanges heat by convection and radiation at once
// ([Lumped]).
//
// They are what the numerical solvers of steel are judged by, and they answer a textbook's question as it stands: nothing here is about steel. The works model does not run on them.
//
// Units are SI; temperatures are in degrees Celsius where a name ends in C. Dimensionless functions take the Biot number h L/k and the Fourier number alpha t/L2, L being the half-thickness of the wall
// or the radius, and positions x/L from 0 in the middle to 1 at the surface. Dimensionless functions answer NaN when an argument makes no sense (negative, NaN, a position outside 0 to 1); functions
// with units return an error.
//
// Sources: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, ch. 2, 3, 7 and 9; Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 5; both from memory. The tests hold them
// against published tables and examples.
package conduction
