/* Stands in for PROJ where there is none: no name but those of UTM and UPS is known. */
#pragma once

struct PJ {};
struct PJ_CONTEXT {};
struct PJ_XY {
  double x, y;
};
union PJ_COORD {
  PJ_XY xy;
};
enum PJ_DIRECTION { PJ_FWD };
enum PJ_CATEGORY { PJ_CATEGORY_CRS };
enum PJ_LOG_LEVEL { PJ_LOG_NONE };
enum PJ_PROJ_STRING_TYPE { PJ_PROJ_4 };
enum PJ_TYPE { PJ_TYPE_UNKNOWN, PJ_TYPE_COMPOUND_CRS, PJ_TYPE_BOUND_CRS, PJ_TYPE_PROJECTED_CRS };

inline PJ_CONTEXT* proj_context_create() { return nullptr; }
inline void proj_context_destroy(PJ_CONTEXT*) {}
inline void proj_destroy(PJ*) {}
inline int proj_context_set_enable_network(PJ_CONTEXT*, int) { return 0; }
inline void proj_log_level(PJ_CONTEXT*, PJ_LOG_LEVEL) {}
inline void proj_errno_reset(PJ*) {}
inline PJ_COORD proj_coord(double, double, double, double) { return {}; }
inline PJ_COORD proj_trans(PJ*, PJ_DIRECTION, PJ_COORD) { return {}; }
inline PJ* proj_create(PJ_CONTEXT*, const char*) { return nullptr; }
inline PJ* proj_create_from_database(PJ_CONTEXT*, const char*, const char*, PJ_CATEGORY, int, const char* const*) {
  return nullptr;
}
inline int proj_get_area_of_use(PJ_CONTEXT*, const PJ*, double*, double*, double*, double*, const char**) { return 0; }
inline PJ_TYPE proj_get_type(const PJ*) { return PJ_TYPE_UNKNOWN; }
inline PJ* proj_crs_get_sub_crs(PJ_CONTEXT*, const PJ*, int) { return nullptr; }
inline PJ* proj_get_source_crs(PJ_CONTEXT*, const PJ*) { return nullptr; }
inline const char* proj_as_proj_string(PJ_CONTEXT*, const PJ*, PJ_PROJ_STRING_TYPE, const char* const*) {
  return nullptr;
}
