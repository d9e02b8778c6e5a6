// A loss is a ratio, not a level.
// message: conversion from .sim::Db. to|no viable conversion
#include "sim/base/units.h"

#ifdef BAD
const sim::Dbm received = sim::Db(100.0);
#else
const sim::Dbm received = sim::Dbm(55.0) - sim::Db(100.0);
#endif
