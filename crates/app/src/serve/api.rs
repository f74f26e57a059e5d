use super::shop::Shop;
use axum::Router;
use std::sync::Arc;
pub(super) fn router() -> Router<Arc<Shop>> {
    Router::new()
}
